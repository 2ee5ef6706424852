"""The demo has a concern handed on, a site getting worse, one overdue, and a tidy past."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from tests.fakes.clock import NOON
from tests.fakes.demo import demo_at, story_lines

from lumenkeep.core.entries import line_state
from lumenkeep.core.policy import Situation, load_policy
from lumenkeep.core.watch.concerns_found import found_concerns
from lumenkeep.core.watch.concerns_life import acts_by_key, concern_at
from lumenkeep.demo.hospital import ZONE

if TYPE_CHECKING:
    from lumenkeep.core.watch.concerns import Concern

POLICY = load_policy("quillmere")


@cache
def concerns() -> dict[str, tuple[Concern, ...]]:
    """Return the concerns of each line of the demo, by the line's key."""
    hospital = demo_at(NOON)
    of_child: dict[str, list] = {}
    of_line: dict[str, list] = {}
    for entry in hospital.entries:
        where = of_child if entry.line is None else of_line
        where.setdefault(entry.line or entry.child, []).append(entry)
    found = {}
    for key, own in of_line.items():
        entries = [*of_child.get(own[0].child, ()), *own]
        case = line_state(entries, NOON, ZONE).case
        told = found_concerns(
            entries,
            lambda entry: POLICY.on(entry.happened_at.astimezone(ZONE).date()),
            Situation(case, NOON).later,
            ZONE,
        )
        acts = acts_by_key(entries)
        found[key] = tuple(concern_at(f, acts.get(f.key, ()), NOON) for f in told)
    return found


def of_story(name: str) -> dict[str, Concern]:
    """Return the open concerns of a story by their rule."""
    (key, *_) = reversed(story_lines(demo_at(NOON), NOON)[name])
    return {one.rule: one for one in concerns()[key] if one.is_open}


def test_the_line_that_moved_out_was_handed_on_overnight() -> None:
    moved = of_story("moved-outward")["line-moved"]

    assert (moved.state, moved.who, moved.is_overdue) == ("handed-on", "s-shale", False)
    assert [act.kind for act in moved.acts] == ["taken", "handed-on"]


def test_the_line_that_moved_in_was_checked_and_left() -> None:
    assert of_story("moved-inward") == {}


def test_a_site_gets_worse() -> None:
    worse = of_story("early-failures")

    assert {"pus", "site-worse", "site-inflamed"} <= set(worse)
    assert worse["pus"].state == "new"
    assert not worse["pus"].is_overdue


def test_one_concern_is_overdue() -> None:
    assert of_story("just-under-1000-g")["adhesive-injury"].is_overdue


def test_a_worry_was_raised_by_hand() -> None:
    assert of_story("two-lines")["raised-by-hand"].state == "new"


def test_all_that_was_found_longer_ago_has_been_settled() -> None:
    still = [one for some in concerns().values() for one in some if one.is_open]
    ever = sum(len(some) for some in concerns().values())

    assert ever > len(still) + 20
    assert len(still) < 10
    assert not any(one.found.is_orphan for some in concerns().values() for one in some)
