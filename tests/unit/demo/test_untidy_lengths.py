"""The demo's lengths are measured as on a ward: with error, the arm as it lies, twice."""

from __future__ import annotations

import itertools
from collections import Counter
from functools import cache

import pytest
from tests.fakes.clock import NOON
from tests.fakes.demo import demo_at, story_lines

from lumenkeep.core.model.chart import standing


@cache
def measured() -> dict[str, list]:
    """Return the entries of each line that tell a length, of lines that have not moved."""
    hospital = demo_at(NOON)
    moved = {
        key
        for story in ("moved-outward", "moved-inward")
        for key in story_lines(hospital, NOON)[story]
    }
    found: dict[str, list] = {}
    for entry in standing(hospital.entries):
        is_told = entry.body.get("external_length_mm") is not None
        if is_told and entry.line and entry.line not in moved:
            found.setdefault(entry.line, []).append(entry)
    return found


def test_lengths_vary_as_the_policy_says_that_they_do() -> None:
    """Its error is 2 mm; a length charted in whole millimetres adds a little."""
    squares, free = 0.0, 0
    for rows in measured().values():
        alike: dict[str | None, list[float]] = {}
        has_arm = any(entry.body.get("arm") for entry in rows)
        for entry in rows:
            arm = entry.body.get("arm")
            if entry.kind == "dressing-change" and (arm or not has_arm):
                alike.setdefault(arm, []).append(entry.body["external_length_mm"])
        for lengths in alike.values():
            mean = sum(lengths) / len(lengths)
            squares += sum((length - mean) ** 2 for length in lengths)
            free += len(lengths) - 1

    assert free > 100
    assert (squares / free) ** 0.5 == pytest.approx(2, abs=0.25)


def test_arms_lie_in_every_way_and_some_are_not_charted() -> None:
    arms = Counter(
        entry.body.get("arm")
        for rows in measured().values()
        if any(entry.body.get("arm") for entry in rows)
        for entry in rows
        if entry.kind == "dressing-change"
    )

    assert set(arms) == {"at the side", "away from the body", "bent", None}
    assert arms["at the side"] > arms["bent"] > 0


def test_some_lengths_are_measured_by_a_second_person_too() -> None:
    pairs = 0
    for rows in measured().values():
        ordered = sorted(rows, key=lambda entry: (entry.happened_at, entry.id))
        for first, second in itertools.pairwise(ordered):
            is_soon = (second.happened_at - first.happened_at).total_seconds() < 600
            pairs += is_soon and first.by != second.by

    assert pairs >= 20
