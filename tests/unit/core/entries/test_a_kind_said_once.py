"""A kind and a field said once in the registry are there everywhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.fakes.at_ward import at_ward, sent
from tests.fakes.chart import FakeChart, chart_with_a_line
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.core.entries import Field, Form, Kind, Task, every_kind, line_state
from lumenkeep.core.entries.answers import Measure, Word, YesNo
from lumenkeep.core.entries.kind import LINE
from lumenkeep.core.entries.registry import with_kinds
from lumenkeep.core.entries.said import label_of, parts_said
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.charting.bedside import bedside
from lumenkeep.ward.chart.charting.chart_entry import bedside_of, chart_entry
from lumenkeep.ward.chart.charting.correct import (
    correct_entry,
    typed_of,
    withdraw_entry,
    wrong_entry,
)
from lumenkeep.ward.chart.charting.form_fields import asked_of
from lumenkeep.ward.site.people import StaffRecord

NURSE = StaffRecord("s-1", "Demo Flint", "nurse", "kestrel", "7")
MOODS = {"calm": "Calm", "cross": "Cross"}
FLUSHED = Kind(
    "line-flush",
    "Line flushed",
    LINE,
    (
        Field("mood", "How the line took it", Word(MOODS), required=True),
        Field("ml", "How much", Measure("mL")),
    ),
    Form("Flush the line", "Chart it", happened="Flushed at"),
    task=Task("flush", "Flush", "line.flushed"),
)


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock()


@pytest.fixture
def chart(clock: FixedClock) -> FakeChart:
    return chart_with_a_line(clock)


def _charted(chart: FakeChart, clock: FixedClock, **typed: str):
    (entry,) = chart_entry(
        at_ward(chart, clock), sent(typed, "s-1"), line="l-1", kind="line-flush"
    )
    return entry


def test_a_new_kind_has_a_form(chart, clock) -> None:
    with with_kinds(FLUSHED):
        at_bed = bedside_of(at_ward(chart, clock), "l-1", FLUSHED)
        asked = asked_of(FLUSHED, at_bed)

    assert [one.name for one in asked] == ["mood", "ml", "done-at"]
    assert asked[0].choices == MOODS


def test_a_new_kind_is_charted_with_every_fault_said(chart, clock) -> None:
    with with_kinds(FLUSHED):
        with pytest.raises(ChartError) as caught:
            _charted(chart, clock, ml="much")
        entry = _charted(chart, clock, mood="cross", ml="3")

    assert {f.where for f in caught.value.faults} == {"mood", "ml"}
    assert entry.body == {"mood": "cross", "ml": 3.0}


def test_a_new_kind_is_in_the_state(chart, clock) -> None:
    with with_kinds(FLUSHED):
        _charted(chart, clock, mood="calm", ml="3")
        state = line_state(chart.entries("l-1"), NOON, clock.now().tzinfo)

    assert state.latest["line-flush"] == {"mood": "calm", "ml": 3.0}
    assert state.case.line.done == (("flushed", NOON),)


def test_a_new_kind_is_said_in_the_history(chart, clock) -> None:
    with with_kinds(FLUSHED):
        entry = _charted(chart, clock, mood="cross", ml="3")

        assert label_of(entry.kind) == "Line flushed"
        assert parts_said(entry) == ("how the line took it cross", "how much 3 mL")


def test_a_new_kind_is_corrected_and_taken_back(chart, clock) -> None:
    with with_kinds(FLUSHED):
        first = _charted(chart, clock, mood="cross", ml="30")
        clock.move(minutes=5)
        (second,) = correct_entry(
            at_ward(chart, clock),
            sent({"mood": "calm", "ml": "3", "done-at": "2026-11-25 11:50"}, NURSE),
            line="l-1", entry=first.id,
        )  # fmt: skip
        assert (second.corrects, second.body["ml"]) == (first.id, 3.0)
        withdraw_entry(
            at_ward(chart, clock), sent({"because-wrong": "other child"}, NURSE),
            line="l-1", entry=second.id,
        )  # fmt: skip
        state = line_state(chart.entries("l-1"), clock.now(), clock.now().tzinfo)

    assert "line-flush" not in state.latest
    assert state.case.line.done == ()


def test_a_new_field_of_a_known_kind_is_asked_charted_and_said(chart, clock) -> None:
    known = every_kind()["line-review"]
    mood = Field("mood", "How the family sees it", Word(MOODS), sets="line.patency")
    with with_kinds(replace(known, fields=(*known.fields, mood))):
        (entry,) = chart_entry(
            at_ward(chart, clock), sent({"still-needed": "yes", "mood": "calm"}, "s-1"),
            line="l-1", kind="line-review",
        )  # fmt: skip
        assert entry.body == {"needed": True, "mood": "calm"}
        assert "how the family sees it calm" in parts_said(entry)
        state = line_state(chart.entries("l-1"), NOON, clock.now().tzinfo)
        assert state.case.line.patency == "calm"


def _typed_again(chart: FakeChart, clock: FixedClock, entry):
    from lumenkeep.ward.chart.line_at_hand import line_at_hand

    kind = every_kind()[entry.kind]
    at = at_ward(chart, clock)
    at_bed = bedside(at, line_at_hand(at, "l-1"), wrong=entry)
    return typed_of(entry, asked_of(kind, at_bed), at_bed.zone)


@pytest.mark.parametrize(
    "kind", ["stay", "birth", "weight", "sensitivities", "line-inserted"]
)
def test_what_stood_in_an_entry_is_typed_into_its_correction(
    chart, clock, kind
) -> None:
    entry = next(e for e in chart.entries("l-1") if e.kind == kind)
    typed, ticked = _typed_again(chart, clock, entry)
    by = replace(NURSE, role="charge-nurse")
    (again,) = correct_entry(
        at_ward(chart, clock), sent(typed, by, ticked=ticked),
        line="l-1", entry=entry.id,
    )  # fmt: skip

    kept = {key: value for key, value in entry.body.items() if value is not None}
    assert {k: v for k, v in again.body.items() if k in kept} == kept
    assert abs(again.happened_at - entry.happened_at) < timedelta(minutes=1)


def test_every_kind_that_is_typed_can_be_corrected_and_every_kind_taken_back() -> None:
    kinds = every_kind().values()

    assert [k.id for k in kinds if not k.may_withdraw] == ["withdrawn"]
    without_form = {k.id for k in kinds if k.form is None}
    assert without_form == {
        "infection-decision",
        "concern-raised",
        "concern-acknowledged",
        "concern-handed-on",
        "concern-closed",
        "withdrawn",
    }


def test_an_insertion_of_a_wrong_site_is_put_right(chart, clock) -> None:
    entry = next(e for e in chart.entries("l-1") if e.kind == "line-inserted")
    typed, ticked = _typed_again(chart, clock, entry)
    by = replace(NURSE, role="educator")
    correct_entry(
        at_ward(chart, clock),
        sent(typed | {"site": "subclavian"}, by, ticked=ticked),
        line="l-1", entry=entry.id,
    )  # fmt: skip

    assert chart.line("l-1").state.case.line.site == "subclavian"
    assert chart.line("l-1").state.case.line.dressing.kind == "transparent-chg-gel"


def test_what_cannot_be_corrected_by_this_person_is_refused(chart) -> None:
    entry = next(e for e in chart.entries("l-1") if e.kind == "line-inserted")
    other = StaffRecord("s-9", "Demo Chalk", "nurse", "kestrel", "6")
    with pytest.raises(ChartError) as caught:
        wrong_entry(chart, "l-1", entry.id, other)

    assert [fault.code for fault in caught.value.faults] == ["chart-not-yours"]


@pytest.mark.parametrize(("typed", "signs"), [("yes", {"line-broken"}), ("no", set())])
def test_a_yes_or_no_carries_a_sign_too(chart, clock, typed, signs) -> None:
    known = every_kind()["line-review"]
    cracked = Field(
        "cracked", "Is it cracked?", YesNo(), begins={"yes": ("line-broken",)}
    )
    with with_kinds(replace(known, fields=(*known.fields, cracked))):
        chart_entry(
            at_ward(chart, clock), sent({"still-needed": "yes", "cracked": typed}, "s-1"),
            line="l-1", kind="line-review",
        )  # fmt: skip
        state = line_state(chart.entries("l-1"), NOON, clock.now().tzinfo)

    assert {sign for sign, _ in state.signs} == signs
