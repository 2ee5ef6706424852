"""What the chart's blood comes to, what is asked, and for whom it counts."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.fakes.clock import NOON
from tests.unit.ward.infections.infections_told import ToldChild

from lumenkeep.demo.hospital import WARDS
from lumenkeep.ward.infections.infection import ASKS, PROPOSED
from lumenkeep.ward.infections.infections_of import infections_in, infections_of


@pytest.fixture
def told() -> ToldChild:
    return ToldChild()


def test_a_pathogen_with_a_central_line_is_proposed_for_the_ward(
    told: ToldChild,
) -> None:
    told.tip()
    blood = told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    one = told.only()

    assert (one.event, one.status, one.is_clabsi) == (blood.id, PROPOSED, True)
    assert (one.ward, one.on, one.proposal.line_day) == (
        "kestrel", date(2026, 11, 23), 9,
    )  # fmt: skip


def test_every_step_on_the_line_leads_to_its_entries(told: ToldChild) -> None:
    tip = told.tip()
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    steps = {step.rule: step for step in told.only().proposal.steps[::-1]}

    assert steps["R5"].entries == ("5", str(tip.id))


def test_an_unknown_tip_is_asked_for_with_both_answers(told: ToldChild) -> None:
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    one = told.only()
    (ask,) = one.asks

    assert (one.status, one.is_clabsi) == (ASKS, None)
    assert (ask.rule, ask.charts_as, ask.about) == ("R2", "line-tip", "l-1")
    assert ask.ways == (
        "in a great vessel: a central-line infection",
        "elsewhere: an infection of the stay, not the line's",
    )


def test_a_tip_that_decides_nothing_is_not_asked_for(told: ToldChild) -> None:
    told.blood(timedelta(days=9), "arm", "Klebsiella oxytoca")  # hospital day 2

    one = told.only()

    assert (one.asks, one.verdict) == ((), "on-admission")


def test_an_unknown_first_use_is_asked_for(told: ToldChild) -> None:
    told.tip()
    told.write("stay", timedelta(days=9), ward=None, to="home")
    told.write("stay", timedelta(days=7), ward="kestrel", bed="07", unit="x")
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    one = told.only()
    (ask,) = one.asks

    assert one.is_clabsi is None
    assert (ask.rule, ask.charts_as) == ("R4", "line-access")
    assert ask.ways == (
        "from the first day on: a central-line infection",
        "never: an infection of the stay, not the line's",
    )


def test_a_lone_commensal_asks_for_the_blood_without_a_result(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=2), "arm", "Staphylococcus hominis")
    awaited = told.blood(timedelta(days=1), "leg", result="pending")

    (ask,) = told.only().asks

    assert (ask.charts_as, ask.about) == ("specimen-result", str(awaited.id))


def test_a_lone_commensal_far_from_it_asks_for_nothing(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=4), "arm", "Staphylococcus hominis")
    told.blood(timedelta(days=1), "leg", result="pending")

    one = told.only()

    assert (one.asks, one.verdict) == ((), "none")


def test_an_organism_nobody_looked_at_asks(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=2), "arm", "Invented organism")

    one = told.only()

    assert one.is_clabsi is None
    assert one.asks[0].rule == "R18"


def test_later_blood_joins_and_is_no_infection_of_its_own(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=4), "arm", "Klebsiella oxytoca")
    later = told.blood(timedelta(days=1), "leg", "Staphylococcus aureus")

    one = told.only()

    assert [event.specimens for event in one.joined] == [(f"e{later.id}",)]
    assert f"e{later.id}" in one.specimens


def test_what_joins_changes_the_digest(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=4), "arm", "Klebsiella oxytoca")
    before = told.only().digest
    told.blood(timedelta(days=1), "leg", "Staphylococcus aureus")

    assert told.only().digest != before


def test_what_is_unrelated_leaves_the_digest(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=4), "arm", "Klebsiella oxytoca")
    before = told.only().digest
    told.blood(timedelta(days=1), "leg")
    told.write("weight", timedelta(days=1), g=16_000)

    assert told.only().digest == before


def test_an_infection_is_listed_for_the_ward_it_counts_for(told: ToldChild) -> None:
    told.tip()
    told.write("stay", timedelta(days=3), ward="heron", bed="01", unit="x")
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")  # the day after the move

    assert len(told.infections("kestrel")) == 1
    assert told.infections("heron") == ()
    assert told.only().lay_on == "heron"


def test_what_is_counted_nowhere_stands_with_the_ward_where_it_was_taken(
    told: ToldChild,
) -> None:
    told.blood(timedelta(days=2), "arm", "Staphylococcus hominis")

    assert len(told.infections("kestrel")) == 1
    assert told.infections("heron") == ()


def test_a_year_that_is_not_shipped_takes_the_latest_before_it(
    told: ToldChild,
) -> None:
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    assert told.only().edition == "2025"


def test_a_child_without_blood_has_no_infections(told: ToldChild) -> None:
    assert told.infections() == ()


def test_blood_of_a_later_year_leaves_an_earlier_infection_to_its_own_rules(
    told: ToldChild,
) -> None:
    def infections() -> list[tuple[str, str]]:
        zones = {ward.key: ward.zone for ward in WARDS}
        found = infections_of("c-1", told.children.entries_of_child("c-1"), zones)
        return [(one.edition, one.digest) for one in found]

    told.blood(timedelta(days=715), "arm", "Klebsiella oxytoca")  # December 2024
    (before,) = infections()
    told.blood(timedelta(days=2), "arm", "Staphylococcus aureus")

    assert before[0] == "2024"
    assert [infections()[0], infections()[1][0]] == [before, "2025"]


def test_a_period_holds_its_infections_also_of_a_line_that_is_out(
    told: ToldChild,
) -> None:
    told.tip()
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")
    told.write("line-removed", timedelta(days=1), line="l-1", reason="blocked")
    on = date(2026, 11, 23)

    def found(first: date, last: date) -> int:
        return len(infections_in(told.children, WARDS, None, first, last))

    assert found(on, on) == 1
    assert found(on + timedelta(days=1), date(2026, 12, 31)) == 0
    assert found(date.min, date.max) == 1
    # Nothing has been charted since: such a child is not even read.
    assert told.children.entries_by_child(
        ("specimen",), since=NOON + timedelta(days=1)
    ) == {}  # fmt: skip
    assert found(date(2027, 6, 1), date(2027, 6, 30)) == 0
