"""The words and the drawing of an infection."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.unit.ward.infections.infections_told import ToldChild

from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.demo.hospital import WARDS
from lumenkeep.ward.infections.pages.days import DaysDrawing, draw_days
from lumenkeep.ward.infections.pages.words import (
    Plain,
    proposal_sentence,
    reason_of,
    span_words,
)
from lumenkeep.ward.infections.timeline_of_chart import timeline_of_chart

NAMES = {"kestrel": "Kestrel", "heron": "Heron", "l-1": "PICC, left upper arm"}


@pytest.fixture
def told() -> ToldChild:
    return ToldChild()


def _drawn(told: ToldChild) -> DaysDrawing:
    zones = {ward.key: ward.zone for ward in WARDS}
    charted = timeline_of_chart(told.children.entries_of_child("c-1"), zones, "2025")
    return draw_days(told.only(), charted, protocol_year("2025"), NAMES)


def _labels(days: DaysDrawing) -> list[str]:
    return [lane.label for lane in days.lanes]


def test_window_timeframe_and_line_days_are_lanes_of_their_own(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    days = _drawn(told)

    assert _labels(days) == [
        "Lay on Kestrel",
        "Infection window, 20 to 26 Nov",
        "Repeat timeframe, 23 Nov to 6 Dec",
        "PICC, left upper arm: line-day 1 on 15 Nov",
        "Blood taken",
    ]


def test_the_first_line_days_look_otherwise_than_those_that_count(
    told: ToldChild,
) -> None:
    told.tip()
    told.blood(timedelta(days=7), "arm", "Klebsiella oxytoca")  # 18 Nov, line-day 4

    lane = _drawn(told).lanes[3]
    early, eligible = lane.bars

    assert (early.look, eligible.look) == ("line-early", "line-eligible")
    assert early.x + early.width == pytest.approx(eligible.x, abs=0.02)


def test_the_date_of_event_stands_in_the_middle_of_its_day(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    days = _drawn(told)
    (column,) = [day for day in days.columns if day.is_event]

    assert (column.number, column.hospital_day) == ("23", "9")
    assert column.x == days.event_x


def test_a_line_that_is_not_known_to_count_is_drawn_and_says_why(
    told: ToldChild,
) -> None:
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    lane = next(lane for lane in _drawn(told).lanes if "PICC" in lane.label)

    assert lane.label == "PICC, left upper arm: where its tip lies is not charted"
    assert [bar.look for bar in lane.bars] == ["line-unknown"]


def test_secondary_blood_shows_the_whole_period_it_belongs_to(told: ToldChild) -> None:
    told.tip()
    told.write(
        "other-infection", timedelta(days=2), kind="uti", date_of_event="2026-11-22",
        window=["2026-11-19", "2026-11-25"], organisms=["E. coli"],
        blood_is_element=False,
    )  # fmt: skip
    told.blood(timedelta(days=2), "arm", "E. coli")

    days = _drawn(told)

    assert (days.first, days.last) == (date(2026, 11, 16), date(2026, 12, 6))
    assert "A urinary tract infection: takes blood of these days" in _labels(days)


def test_every_kind_of_blood_looks_otherwise(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")
    told.blood(timedelta(days=1), "arm")
    told.blood(timedelta(hours=3), "leg", result="pending")

    lane = next(lane for lane in _drawn(told).lanes if lane.label == "Blood taken")

    assert [mark.look for mark in lane.marks] == [
        "blood", "blood-none", "blood-awaited",
    ]  # fmt: skip


def test_a_move_is_drawn_as_two_places(told: ToldChild) -> None:
    told.tip()
    told.write("stay", timedelta(days=3), ward="heron", bed="01", unit="x")
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    lane = _drawn(told).lanes[0]

    assert lane.label == "Lay on Kestrel, then Heron"
    assert [bar.look for bar in lane.bars] == ["stay", "stay-b"]


def test_no_drawing_is_longer_than_can_be_read(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    assert len(_drawn(told).columns) <= 46


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("blood e7 + e9 on 2026-11-23: E. coli", "Blood of Mon 23 Nov 2026: E. coli"),
        ("line l-1 (picc): still in", "PICC, left upper arm (picc): still in"),
        ("the child was in kestrel.", "The child was in Kestrel."),
        ("anc 100/mm³ on 2026-11-23 04:10", "Neutrophils 100/mm³ on Mon 23 Nov 2026 04:10"),
        ("ecmo was in for 4 days", "ECMO was in for 4 days"),
        ("e12 joined it", "Later blood joined it"),
        ("the kestrels sang", "The kestrels sang"),
    ],
)  # fmt: skip
def test_names_of_the_derivation_are_put_into_words(text: str, said: str) -> None:
    assert Plain(NAMES)(text) == said


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2026, 11, 20), date(2026, 11, 26), "20 to 26 Nov"),
        (date(2026, 11, 29), date(2026, 12, 5), "29 Nov to 5 Dec"),
    ],
)
def test_a_span_names_its_month_once(first: date, last: date, said: str) -> None:
    assert span_words((first, last)) == said


def _said(told: ToldChild) -> tuple[str, str]:
    one = told.only()
    names = {"kestrel": "Kestrel", "heron": "Heron"}
    return proposal_sentence(one, names), reason_of(one, Plain(NAMES))


def test_the_line_was_in_too_short(told: ToldChild) -> None:
    told.tip()
    told.write("stay", timedelta(days=14), ward="kestrel", bed="04", unit="x")
    told.blood(timedelta(days=9), "arm", "Klebsiella oxytoca")

    assert _said(told) == (
        "The infection of Mon 16 Nov 2026 does not count for a line.",
        "The date of event was line-day 2: too early for a line.",
    )


def test_an_exclusion_is_named(told: ToldChild) -> None:
    told.tip()
    told.write("device", timedelta(days=8), kind="ecmo", doing="in")
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    assert _said(told) == (
        "The infection of Mon 23 Nov 2026 does not count for a line.",
        "An exclusion applies: ECMO.",
    )


def test_no_line_was_in(told: ToldChild) -> None:
    told.tip()
    told.write("line-removed", timedelta(days=5), line="l-1", reason="out")
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    assert _said(told)[1] == (
        "On the date of event and the day before, no line was in that counts."
    )


def test_a_lone_commensal_makes_no_infection(told: ToldChild) -> None:
    told.tip()
    told.blood(timedelta(days=2), "arm", "Staphylococcus hominis")

    assert _said(told) == (
        "The blood of Mon 23 Nov 2026 makes no infection by the definition.",
        "A common commensal without a matching draw sets no window.",
    )


def test_what_hangs_on_a_fact_says_on_which(told: ToldChild) -> None:
    told.blood(timedelta(days=2), "arm", "Klebsiella oxytoca")

    assert _said(told) == (
        "Whether the blood of Mon 23 Nov 2026 belongs to the line cannot be said yet.",
        "It hangs on where the tip of PICC, left upper arm lies.",
    )
