"""Law: nothing seen is lost on the way, whichever form it was charted by.

For every sign, every form that can carry it and every shipped set: facts, plan, due
times and concerns afterwards are those of a child of whom the sign is known.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.chart import FakeChart, chart_with_a_line
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.core.due import dressing_task, due_tasks
from lumenkeep.core.entries import every_kind, line_state
from lumenkeep.core.model.case import Finding
from lumenkeep.core.model.signs import BROKEN_SKIN, FINDING_OF_SIGN, REPORTED, WELL
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.reading.line_reading import RulesOfSet, read_line
from lumenkeep.ward.chart.records import Draft

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.model import Case

SETS = ("quillmere", "us-guideline", "uk-guideline")
CHANGE: dict[str, Any] = {"dressing": "gauze", "agent": "povidone-iodine"}
OUT = ("line-removed",)


def _bodies(sign: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield each kind of entry that can say a sign, with the least body that does."""
    for kind in every_kind().values():
        for field in kind.fields:
            words = [word for word, signs in field.begins.items() if sign in signs]
            for word in words:
                is_several = type(field.answer).__name__ == "Words"
                value = [word] if is_several else word
                more = CHANGE if kind.id == "dressing-change" else {}
                yield f"{kind.id}.{field.key}", {**more, field.key: value}


CASES = [(sign, where, body) for sign in REPORTED for where, body in _bodies(sign)]


def _chart(where: str, body: dict[str, Any]) -> FakeChart:
    clock = FixedClock()
    chart = chart_with_a_line(clock)
    kind = where.partition(".")[0]
    line = "l-1" if kind != "skin" else None
    chart.append([Draft("c-1", line, kind, NOON, "s-1", body)], "quillmere")
    return chart


def _known(case: Case, sign: str) -> Case:
    """Return a case of which the sign is known since noon, by its facts alone."""
    line, since = case.line, dict(case.known_since)
    if sign in FINDING_OF_SIGN:
        found = (Finding(FINDING_OF_SIGN[sign], NOON),)
        line = replace(line, dressing=replace(line.dressing, findings=found))
    if sign in BROKEN_SKIN:
        line = replace(line, skin_at_site="broken")
        since["skin_at_site"] = NOON
    line = replace(line, inspected=NOON)
    return replace(case, line=line, known_since=tuple(since.items()))


def test_every_sign_can_be_charted_by_more_than_one_form() -> None:
    for sign in REPORTED:
        forms = {where.partition(".")[0] for other, where, _ in CASES if other == sign}
        assert {"site-check", "dressing-change", "re-cover"} <= forms


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize(
    ("sign", "where", "body"), CASES, ids=[f"{s}-by-{w}" for s, w, _ in CASES]
)
def test_a_sign_is_known_whichever_form_said_it(name, sign, where, body) -> None:
    policy = load_policy(name)
    chart = _chart(where, body)
    entries = chart.entries("l-1")
    before = line_state(entries, NOON - timedelta(minutes=1), policy_zone(chart))
    after = read_line(
        entries, NOON, RulesOfSet(policy, policy_zone(chart)), policy_zone(chart)
    )
    case = after.state.case
    kind = where.partition(".")[0]

    assert sign in dict(after.state.signs)
    told = {concern.rule for concern in after.concerns}
    assert told == _rules_by_a_look(policy, sign)
    if kind in OUT:
        return
    reference = _known(before.case, sign)
    if kind == "dressing-change":
        # The new dressing is another one; what is seen under it is the same.
        worn = replace(case.line.dressing, findings=reference.line.dressing.findings)
        reference = replace(reference, line=replace(reference.line, dressing=worn))
    if kind == "re-cover":
        loose = Finding("loose", NOON)
        found = reference.line.dressing.findings
        worn = replace(reference.line.dressing, findings=(loose, *found))
        reference = replace(reference, line=replace(reference.line, dressing=worn))
    planned, expected = (plan_change(c, NOON, policy) for c in (case, reference))
    assert planned == expected
    tasks, due = (due_tasks(c, NOON, policy) for c in (case, reference))
    assert dressing_task(tasks) == dressing_task(due)


def policy_zone(chart: FakeChart):
    """Return the zone of the ward the child lies on."""
    return chart.wards()[0].zone


def _rules_by_a_look(policy, sign: str) -> set[str]:
    chart = _chart("site-check.signs", {"signs": [sign]})
    zone = policy_zone(chart)
    reading = read_line(chart.entries("l-1"), NOON, RulesOfSet(policy, zone), zone)
    return {concern.rule for concern in reading.concerns}


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize("sign", [*FINDING_OF_SIGN, *BROKEN_SKIN])
def test_what_is_seen_under_the_dressing_makes_it_due_now(name, sign) -> None:
    policy = load_policy(name)
    chart = _chart("site-check.signs", {"signs": [sign]})
    state = line_state(chart.entries("l-1"), NOON, policy_zone(chart))
    task = dressing_task(due_tasks(state.case, NOON, policy))

    assert task is not None
    assert task.is_now


ENDINGS = [
    ("site-check", {"signs": []}, True),
    ("site-check", {"signs": ["red"]}, False),
    ("site-check", {"well": ["skin-whole", "dry"]}, True),
    ("finding", {"findings": ["damp"]}, False),
    ("dressing-change", {**CHANGE, "site": "healthy"}, True),
    ("dressing-change", CHANGE, False),
    ("dressing-change", {**CHANGE, "site": "red"}, False),
    # What contradicts itself ends nothing; an old dressing may be worse than the site.
    ("site-check", {"signs": ["bleeding", "skin-broken"], "well": list(WELL)}, False),
    ("dressing-change", {**CHANGE, "site": "healthy", "signs": ["red"]}, False),
    ("dressing-change", {**CHANGE, "findings": ["bleeding"], "site": "healthy"}, True),
]


@pytest.mark.parametrize(("kind", "body", "ends"), ENDINGS)
@pytest.mark.parametrize("sign", ["bleeding", "skin-broken"])
def test_only_an_explicit_word_ends_a_sign(sign, kind, body, ends) -> None:
    chart = _chart("site-check.signs", {"signs": [sign]})
    later = NOON + timedelta(hours=1)
    chart.append([Draft("c-1", "l-1", kind, later, "s-1", body)], "quillmere")
    state = line_state(chart.entries("l-1"), later, policy_zone(chart))

    assert (sign not in dict(state.signs)) is ends


def test_skin_seen_at_one_line_says_nothing_of_another() -> None:
    chart = _chart("site-check.signs", {"signs": ["skin-broken"]})
    other = [
        replace(e, line="l-2")
        for e in chart.entries("l-1")
        if e.kind == "line-inserted"
    ]
    of_child = [e for e in chart.entries("l-1") if e.line is None]
    state = line_state([*of_child, *other], NOON, policy_zone(chart))

    assert state.case.line.skin_at_site != "broken"


def test_skin_without_a_line_holds_until_this_site_is_looked_at() -> None:
    chart = _chart("skin.state", {"state": "broken"})
    zone = policy_zone(chart)
    assert (
        line_state(chart.entries("l-1"), NOON, zone).case.line.skin_at_site == "broken"
    )
    later = NOON + timedelta(hours=1)
    look = Draft("c-1", "l-1", "site-check", later, "s-1", {"signs": []})
    chart.append([look], "quillmere")

    assert (
        line_state(chart.entries("l-1"), later, zone).case.line.skin_at_site == "intact"
    )


def test_a_lumen_open_again_does_not_excuse_another_that_is_blocked() -> None:
    blocked = {"flush": "blocked", "blood_return": "none"}
    chart = _chart("patency.flush", {"lumen": "white", **blocked})
    zone = policy_zone(chart)
    states = []
    for hours, lumen, said in (
        (1, "brown", {"flush": "easy", "blood_return": "yes"}),
        (2, "white", {"flush": "easy", "blood_return": "yes"}),
    ):
        at = NOON + timedelta(hours=hours)
        body = {"lumen": lumen, **said}
        chart.append([Draft("c-1", "l-1", "patency", at, "s-1", body)], "quillmere")
        states.append(line_state(chart.entries("l-1"), at, zone))

    assert [state.case.line.patency for state in states] == ["blocked", "open"]
    assert "line-blocked" in dict(states[0].signs)
    assert not states[1].signs


def test_skin_that_contradicts_the_word_for_the_site_is_broken() -> None:
    body = {**CHANGE, "site": "skin broken", "skin": "intact"}
    chart = _chart("dressing-change.site", body)
    state = line_state(chart.entries("l-1"), NOON, policy_zone(chart))

    assert state.case.line.skin_at_site == "broken"


def test_an_entry_that_does_not_say_how_the_skin_is_ends_nothing() -> None:
    chart = _chart("site-check.signs", {"signs": ["skin-broken"]})
    later = NOON + timedelta(hours=1)
    chart.append([Draft("c-1", None, "skin", later, "s-1", {})], "quillmere")
    state = line_state(chart.entries("l-1"), later, policy_zone(chart))

    assert state.case.line.skin_at_site == "broken"
    assert "skin-broken" in dict(state.signs)
