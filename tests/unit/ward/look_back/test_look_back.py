"""The sections put together, each figure traceable, faults told at once."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from tests.fakes.clock import NOON
from tests.fakes.outcomes import FakeOutcomes
from tests.unit.ward.look_back.wards import DAY, TODAY, Told, figure

from lumenkeep.demo.hospital import WARDS
from lumenkeep.errors import InputError
from lumenkeep.ward.look_back.parts import entry_ids
from lumenkeep.ward.versions.records import IN_FORCE, StepRecord

if TYPE_CHECKING:
    from lumenkeep.ward.look_back.parts import LookBack
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.look_back.request import asked


def with_outcomes(told: Told) -> FakeOutcomes:
    """Give a chart the ports of the outcomes, with a child and its line on each day."""
    ports = FakeOutcomes(wards=WARDS).noon()
    start = NOON - 60 * DAY
    ports.days.entry("c-9", "stay", start, ward="kestrel", bed="1")
    ports.days.entry("c-9", "line-inserted", start, "l-9", kind="picc")
    ports.days.entry("c-9", "line-tip", start, "l-9", tip="great-vessel")
    told.more["outcomes"] = ports.sources()
    return ports


def test_every_entry_behind_a_figure_is_traced_to_its_line() -> None:
    found = Told().look()

    ids = {id_ for part in found.sections for id_ in entry_ids(part.figures)}

    assert ids
    assert set(found.traced) == ids
    assert {one.line for one in found.traced.values()} == {"l-1"}


def test_a_part_without_its_port_is_named_as_left_out() -> None:
    told = Told()

    assert "infections and line-days" in told.look().left_out
    with_outcomes(told)
    assert "infections and line-days" not in told.look().left_out


def test_outcomes_stand_first_with_rate_and_limits() -> None:
    told = Told()
    ports = with_outcomes(told)
    ports.infections.infection("kestrel", TODAY - 3 * DAY)

    found = told.look()

    assert found.sentence == (
        "One infection in 21 line-days: 47.6 per 1000 (1.2 to 265.3)."
    )
    assert [part.key for part in found.sections][:3] == [
        "outcomes",
        "infections",
        "process",
    ]
    assert figure(found, "outcomes", "line-days")[0] == "21"
    part = found.section("outcomes")
    assert part is not None
    infections = part.figure("infections")
    assert infections is not None
    assert [one.key for one in infections.elsewhere] == ["i-1"]
    kinds = {picture.key for picture in part.pictures}
    assert kinds <= {"outcomes-rate", "outcomes-sum"}


def test_an_infection_nobody_decided_on_is_said_beside_the_number() -> None:
    told = Told()
    ports = with_outcomes(told)
    ports.infections.infection("kestrel", TODAY - 3 * DAY, is_decided=False)

    part = told.look().section("infections")

    assert part is not None
    assert part.sentence == "1 infection belongs to a line."
    assert part.figures[0].value == "proposed, not yet decided"
    assert part.unknown == ("LCBI-1 of 22 Nov 2026 waits for a decision.",)


def test_days_missing_in_a_row_are_told_together() -> None:
    told = Told()
    ports = with_outcomes(told)
    ports.book.held_hours.clear()

    part = told.look(first=TODAY - 3 * DAY).section("outcomes")

    assert part is not None
    missing = part.figure("missing")
    assert missing is not None
    assert missing.value == "4"
    assert missing.words.startswith("22 Nov 2026 to 25 Nov 2026: ")


def test_a_policy_that_came_into_force_is_named_with_its_day() -> None:
    told = Told()
    told.steps = [
        StepRecord(
            2, IN_FORCE, "s-1", "kestrel", NOON - 3 * DAY, id=7, at=NOON - 5 * DAY
        )
    ]

    part = told.look().section("policy")

    assert part is not None
    assert part.sentence == (
        "One other version of the policy came into force, on 22 Nov 2026."
    )
    step = part.figure("step-7")
    assert step is not None
    assert (step.name, step.value) == (
        "quillmere 2026.2 came into force",
        "22 Nov 2026",
    )


def test_a_policy_of_another_ward_or_time_is_left_out() -> None:
    told = Told()
    told.steps = [
        StepRecord(
            2, IN_FORCE, "s-1", "heron", NOON - 3 * DAY, id=7, at=NOON - 5 * DAY
        ),
        StepRecord(
            2, IN_FORCE, "s-1", "kestrel", NOON - 90 * DAY, id=8, at=NOON - 99 * DAY
        ),
    ]

    part = told.look().section("policy")

    assert part is not None
    assert (
        part.sentence == "No other version of the policy came into force on the ward."
    )


def test_dressings_of_the_period_are_told_by_how_they_ended() -> None:
    told = Told()
    found = told.look()

    assert figure(found, "life", "dressings")[0] == "2"
    assert figure(found, "life", "end-planned")[0] == "1"
    assert figure(found, "life", "end-still-on")[0] == "1"


def test_the_same_chart_gives_the_same_look_back() -> None:
    told = Told()

    assert told.look() == told.look()


def test_what_happens_after_the_period_changes_nothing() -> None:
    told = Told()
    until = TODAY - DAY
    before = told.look(last=until)
    told.changed(NOON)

    assert told.look(last=until) == before


def test_all_faults_of_what_is_asked_are_told_at_once() -> None:
    with pytest.raises(InputError) as told:
        Told().look("plover", TODAY, TODAY - DAY)

    assert [str(fault) for fault in told.value.faults] == [
        (
            "There is no ward 'plover'.  [look-back-no-ward]\n"
            "  where: ward\n"
            "  mend:  choose one of: kestrel, wren, heron"
        ),
        (
            "The first day must not lie after the last, nor ten years before it, nor "
            "be still to come.  [look-back-bad-period]\n"
            "  where: from, to\n"
            "  mend:  write two days, the earlier one first, as in 2026-09-01"
        ),
    ]


def test_a_period_still_to_come_is_refused() -> None:
    with pytest.raises(InputError, match="look-back-bad-period"):
        Told().look(first=TODAY + DAY, last=TODAY + 2 * DAY)


def test_a_child_without_a_line_is_traced_too() -> None:
    told = Told()
    stay = {"ward": "kestrel", "bed": "7", "unit": "intensive-care"}
    told.chart.append(
        [Draft("c-2", None, "stay", NOON - DAY, "s-1", stay)], "quillmere"
    )

    assert "c-2" in asked(told.sources(), "kestrel", TODAY, TODAY, NOON).chart


def test_nothing_in_it_says_who_a_child_is() -> None:
    found: LookBack = Told().look()

    assert "Demo Sorrel" not in repr(found)
    assert found.at == datetime(2026, 11, 25, 18, tzinfo=UTC)
    assert found.last - found.first == timedelta(days=20)
