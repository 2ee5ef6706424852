"""The demo hospital: the same from the same seed, and all that was promised is there."""

from __future__ import annotations

import itertools
from collections import Counter, defaultdict
from datetime import UTC, datetime, timedelta
from functools import cache

import pytest
from tests.fakes.demo import story_lines

from lumenkeep.core.due import due_tasks
from lumenkeep.core.entries import LineState, line_state
from lumenkeep.core.model import Unknown
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.demo.hospital import ZONE, Hospital
from lumenkeep.demo.scenario import scenario

NOW = datetime(2026, 11, 25, 14, 7, tzinfo=UTC)
AFTER_THE_CLOCKS_CHANGED = datetime(2026, 11, 2, 3, 30, tzinfo=UTC)


@cache
def hospital(now: datetime = NOW) -> Hospital:
    return scenario(now)


@cache
def state(story: str, number: int = 0, now: datetime = NOW) -> LineState:
    key = story_lines(hospital(now), now)[story][number]
    return _states(now)[key]


@cache
def _states(now: datetime) -> dict[str, LineState]:
    whole = hospital(now)
    entries = defaultdict(list)
    for entry in whole.entries:
        entries[entry.line or entry.child].append(entry)
    return {
        line.key: line_state(entries[line.key] + entries[line.child], now, ZONE)
        for line in whole.lines
    }


def _last_stays() -> dict[str, dict]:
    stays = sorted(
        (e for e in hospital().entries if e.kind == "stay"), key=lambda e: e.happened_at
    )
    return {e.child: e.body for e in stays}


def _plan(story: str, now: datetime = NOW):
    return plan_change(state(story, now=now).case, now, load_policy("quillmere"))


def _task(story: str, task: str):
    tasks = due_tasks(state(story).case, NOW, load_policy("quillmere"))
    return next(t for t in tasks if t.task == task)


def test_the_same_seed_and_instant_give_the_same_hospital() -> None:
    assert scenario(NOW) == hospital()


def test_another_seed_gives_another() -> None:
    assert scenario(NOW, "other") != hospital()


def test_its_size_is_as_promised() -> None:
    whole = hospital()

    there = [s for s in _last_stays().values() if s["ward"]]
    assert len(there) == 60
    removed = {e.line for e in whole.entries if e.kind == "line-removed"}
    assert 50 <= len({line.key for line in whole.lines} - removed) <= 70
    assert [ward.name for ward in whole.wards] == ["Kestrel", "Wren", "Heron"]
    first = min(e.happened_at for e in whole.entries if e.kind == "dressing-change")
    assert NOW - first > timedelta(days=80)


@pytest.mark.parametrize("now", [NOW, AFTER_THE_CLOCKS_CHANGED])
def test_nothing_happens_later_than_the_present_or_before_it_was_written(now) -> None:
    for entry in hospital(now).entries:
        assert entry.happened_at <= entry.written_at <= now


def test_entries_are_numbered_in_the_order_of_writing() -> None:
    entries = hospital().entries

    assert [e.id for e in entries] == list(range(1, len(entries) + 1))
    assert all(a.written_at <= b.written_at for a, b in itertools.pairwise(entries))
    assert all(e.corrects is None or e.corrects < e.id for e in entries)


def test_names_are_plainly_invented_and_keys_say_nothing() -> None:
    whole = hospital()

    assert all(c.name.startswith("Demo ") for c in whole.children)
    assert all(p.name.startswith("Demo ") for p in whole.people)
    assert len({c.name for c in whole.children}) == len(whole.children)
    assert not any(c.name.split()[1].lower() in c.key for c in whole.children)


def test_no_two_children_share_a_bed() -> None:
    beds = Counter(
        (stay["ward"], stay["bed"]) for stay in _last_stays().values() if stay["ward"]
    )

    assert max(beds.values()) == 1


def test_weights_are_plausible_for_every_age() -> None:
    for found in _states(NOW).values():
        child = found.case.child
        if isinstance(child.born, Unknown):
            continue
        for weight in child.weights:
            years = (weight.at - child.born.earliest) / timedelta(days=365.25)
            assert 400 < weight.grams < 75_000
            if years > 1:
                assert 7_000 < weight.grams < 12_000 + 4_800 * years
            if years < 0.25:
                assert weight.grams < 9_000


def test_lines_are_overdue() -> None:
    for story in ("overdue-femoral", "overdue-tunnelled", "gauze-overdue"):
        assert _task(story, "dressing").state == "overdue"
    assert state("overdue-femoral").case.line.site == "femoral"


def test_a_lipid_set_is_overdue() -> None:
    assert _task("lipid-overdue", "set").state == "overdue"


@pytest.mark.parametrize("now", [NOW, AFTER_THE_CLOCKS_CHANGED])
def test_a_baby_crosses_seven_days_tomorrow_morning(now) -> None:
    plan = _plan("seven-days-tomorrow", now)

    first = min(change.at for change in plan.changes_later if change.at)
    local = first.astimezone(ZONE)
    assert local.date() == now.astimezone(ZONE).date() + timedelta(days=1)
    assert (local.hour, local.minute) == (8, 12)
    assert plan.antiseptic.agent == "povidone-iodine"


def test_a_baby_weighs_just_under_a_kilogram() -> None:
    assert state("just-under-1000-g").case.child.weights[-1].grams == 985
    assert _plan("just-under-1000-g").antiseptic.agent == "povidone-iodine"


def test_catheters_have_moved_out_and_in() -> None:
    for story, moved in (("moved-outward", 25), ("moved-inward", -15)):
        lengths = [length for _, length in state(story).lengths]
        # Two lengths, 2 mm of error each, and perhaps another arm: 4 mm more.
        assert abs(lengths[-1] - lengths[-2] - moved) <= 3 * (2 * 2**2 + 4**2) ** 0.5


def test_a_dressing_failed_early_three_times_and_again_now() -> None:
    reasons = [why for _, why in state("early-failures").changes]

    assert all(why != "planned" for why in reasons[-3:])
    assert _task("early-failures", "dressing").is_now


def test_allergies_are_there() -> None:
    assert _plan("chlorhexidine-allergy").antiseptic.agent == "povidone-iodine"
    assert _plan("allergic-to-both").verdict == "stop"


@pytest.mark.parametrize(
    "story", ["birth-date-only", "gestation-unknown", "mass-unknown"]
)
def test_unknown_facts_are_asked_for(story) -> None:
    assert _plan(story).verdict == "ask"


def test_a_dressing_was_never_charted() -> None:
    assert isinstance(state("dressing-never-charted").case.line.dressing.kind, Unknown)
    assert _task("dressing-never-charted", "dressing").is_now


def test_a_needle_and_reviews_are_there() -> None:
    assert not isinstance(state("needle-due-today").case.line.needle_changed, Unknown)
    assert not isinstance(state("needle-due-today").case.line.reviewed, Unknown)


def test_lines_were_removed_and_entries_corrected_and_taken_back() -> None:
    kinds = Counter(e.kind for e in hospital().entries)
    corrections = sum(
        e.corrects is not None and e.kind != "withdrawn" for e in hospital().entries
    )

    assert kinds["line-removed"] >= 15
    assert kinds["withdrawn"] == 3
    assert corrections == 10


def test_staff_have_gloves_and_one_size_is_unknown() -> None:
    gloves = [person.glove for person in hospital().people]

    assert gloves.count(None) == 1
    assert len(gloves) >= 10
