"""One dressing's life, read from the chart."""

from __future__ import annotations

from datetime import UTC, timedelta

import pytest
from tests.unit.core.watch.made_entries import START, Told

from lumenkeep.core.model.facts import is_known
from lumenkeep.core.watch.spells import (
    DressingSpell,
    End,
    FailureWords,
    spells_of_child,
)

WORDS = FailureWords(
    frozenset({"damp", "loose", "soiled"}),
    frozenset({"damp", "loose", "soiled", "bleeding"}),
)
ZONES = {"kestrel": UTC, "wren": UTC}


def spells(told: Told, until: float = 30) -> tuple[DressingSpell, ...]:
    (line,) = spells_of_child(told.entries, START + timedelta(days=until), ZONES, WORDS)
    return line.spells


def lived(told: Told, until: float = 30) -> list[tuple[float, str]]:
    """Return how long each dressing lasted, and what ended it."""
    return [(round(s.days, 3), s.end.value) for s in spells(told, until)]


def test_each_dressing_lasts_until_the_next_and_the_last_is_still_on() -> None:
    told = Told()
    told.insert()
    told.change(6)
    told.change(12.5)

    assert lived(told, 15) == [(6, "planned"), (6.5, "planned"), (2.5, "still-on")]
    assert [s.is_first for s in spells(told)] == [True, False, False]


@pytest.mark.parametrize(
    ("because", "end"),
    [
        ("planned", "planned"),
        ("damp", "failed"),
        ("loose", "failed"),
        ("soiled", "failed"),
        ("bleeding", "failed"),
        ("early", "early"),
        (None, "unknown"),
        ("", "unknown"),
        ("a word nobody knows", "unknown"),
    ],
)
def test_the_reason_of_a_change_is_the_end_of_the_dressing_before(because, end) -> None:
    told = Told()
    told.insert()
    told.change(3, because)

    assert lived(told)[0] == (3, end)


def test_a_dressing_has_failed_when_it_was_found_so_not_when_it_was_changed() -> None:
    told = Told()
    on = told.insert()
    found = told.find(2, "loose")
    off = told.change(6)
    (first, _) = spells(told)

    assert (first.days, first.end, first.finding) == (2, End.FAILED, "loose")
    assert first.charted_planned
    assert first.entries == (on, found, off)


def test_bleeding_seen_is_no_failure_of_the_dressing_until_it_is_changed_for_it() -> (
    None
):
    told = Told()
    told.insert()
    told.find(1, "bleeding")
    told.change(3, "bleeding")
    told.find(4, "bleeding")
    told.change(9)

    assert lived(told)[:2] == [(3, "failed"), (6, "planned")]


def test_a_dressing_found_loose_and_still_on_has_failed() -> None:
    told = Told()
    told.insert()
    told.find(4, "loose")

    assert lived(told, 5) == [(4, "failed")]


def test_what_is_seen_at_the_moment_of_a_change_belongs_to_the_old_dressing() -> None:
    told = Told()
    told.insert()
    told.change(5, "damp")
    told.find(5, "damp")
    told.change(11)

    assert lived(told)[:2] == [(5, "failed"), (6, "planned")]


def test_the_line_takes_its_dressing_with_it_and_later_entries_say_nothing() -> None:
    told = Told()
    told.insert()
    told.add("line-removed", 4, reason="no longer needed")
    told.change(5)

    assert lived(told) == [(4, "line-out")]


def test_a_dressing_whose_start_nobody_charted_has_no_length() -> None:
    told = Told()
    told.insert(dressing=None)
    first = told.change(3)
    told.change(9)
    (line,) = spells_of_child(told.entries, START + timedelta(days=10), ZONES, WORDS)

    assert line.without_start == (first,)
    assert [s.days for s in line.spells] == [6, 1]


def test_what_was_corrected_or_taken_back_does_not_count() -> None:
    told = Told()
    told.insert()
    wrong = told.find(2, "damp")
    told.add("withdrawn", 2, corrects=wrong, because="wrong child")
    again = told.change(5, "damp")
    told.add(
        "dressing-change", 6, corrects=again, dressing="transparent", because="planned"
    )

    assert lived(told, 8) == [(6, "planned"), (2, "still-on")]


def test_what_happened_after_the_end_of_watching_is_not_known_yet() -> None:
    told = Told()
    told.insert()
    told.change(6, "damp")

    assert lived(told, 5) == [(5, "still-on")]


def test_kind_site_and_ward_are_those_of_when_it_was_put_on() -> None:
    told = Told()
    told.insert()
    told.change(6, dressing="gauze")
    told.add("stay", 7, of_child=True, ward="wren", bed="01")
    told.change(8)
    wards = [(s.kind, s.site, s.ward) for s in spells(told)]

    assert wards == [
        ("transparent", "upper-arm", "kestrel"),
        ("gauze", "upper-arm", "kestrel"),
        ("transparent", "upper-arm", "wren"),
    ]


def test_what_is_not_charted_is_unknown() -> None:
    told = Told()
    told.add("line-inserted", 0, dressing="transparent")
    told.change(5, dressing=None)
    first, second = spells(told)

    assert not any(map(is_known, (first.site, first.ward, first.born, second.kind)))
    assert first.kind == "transparent"


def test_a_child_who_has_left_the_wards_has_no_ward() -> None:
    told = Told()
    told.insert()
    told.add("stay", 2, of_child=True, ward=None, bed=None)
    told.change(3)

    assert not is_known(spells(told)[1].ward)


def test_lines_of_one_child_stand_apart() -> None:
    told = Told()
    told.insert()
    told.change(5)
    told.line = "l-2"
    told.add("line-inserted", 1, dressing="gauze", kind="port", site="chest")
    told.change(3, "soiled")
    first, second = spells_of_child(
        told.entries, START + timedelta(days=9), ZONES, WORDS
    )

    assert [(s.line, s.days) for s in first.spells] == [("l-1", 5), ("l-1", 4)]
    assert [(s.line, s.days) for s in second.spells] == [("l-2", 2), ("l-2", 6)]


def test_a_dressing_found_loose_and_covered_in_an_emergency_has_failed() -> None:
    told = Told()
    told.insert()
    told.add("re-cover", 3, findings=["loose"], cause="pulled")
    told.change(3.5, "loose")
    (line,) = spells_of_child(told.entries, START + timedelta(days=5), ZONES, WORDS)

    assert lived(told, 5) == [(3, "failed"), (1.5, "still-on")]
    assert line.without_start == ()


def test_a_dressing_covered_after_a_change_broken_off_came_off_for_no_known_reason() -> (
    None
):
    told = Told()
    told.insert()
    told.add("re-cover", 6, findings=[], note="not finished")
    told.add("line-removed", 7, reason="no longer needed")

    assert lived(told) == [(6, "unknown")]
