"""A length judged where it is typed: the card says what the watch would say."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from tests.fakes.account import VALUES, account_of
from tests.unit.ward.guide.test_entries import Ward

from lumenkeep.core.reading.line_reading import RulesOfSet, read_line
from lumenkeep.core.watch.length_typed import judge_by_card
from lumenkeep.ward.chart.line_at_hand import line_at_hand
from lumenkeep.ward.chart.records import Draft

CALLED = {"no-shift-shown": "fine", "cannot-judge": "fine"}


def measured(*lengths: float) -> Ward:
    """Return a ward on which the line was measured, a day apart, the arm away."""
    ward = Ward()
    for mm in lengths:
        body = {"external_length_mm": mm, "arm": "away from the body"}
        draft = Draft("c-1", "l-1", "site-check", ward.clock.at, "s", body)
        ward.chart.append([draft], "quillmere")
        ward.clock.move(minutes=60)
    return ward


def card_of(bundle: dict[str, Any]) -> dict[str, Any]:
    fields = {one["field"]: one for one in bundle["entry"]["fields"]}
    found = fields["chart-external-length"]["card"]
    assert isinstance(found, dict)
    return found


@pytest.mark.parametrize("arm", ["", "away from the body", "at the side"])
def test_the_card_says_of_each_length_what_the_chart_says_afterwards(arm: str) -> None:
    ward = measured(20, 21, 20)
    card = card_of(ward.open("dressing-change"))
    found = line_at_hand(ward.at, "l-1")
    rules = RulesOfSet(found.policy, found.ward.zone)

    for mm in (0, 5, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 35, 45, 60, 185):
        again = measured(20, 21, 20)
        body = {"external_length_mm": float(mm), **({"arm": arm} if arm else {})}
        draft = Draft("c-1", "l-1", "site-check", again.clock.at, "s", body)
        again.chart.append([draft], "quillmere")
        reading = read_line(
            again.chart.entries("l-1"), again.clock.at, rules, found.ward.zone
        )
        told = judge_by_card(card, float(mm), arm or None)
        assert told.then == CALLED.get(reading.verdict.state, reading.verdict.state)


def test_the_card_says_what_to_do_about_a_line_that_has_moved() -> None:
    card = card_of(measured(20, 21, 20).open("dressing-change"))

    assert (
        "Do not use the line until the tip has been checked."
        in (card["words"]["moved"])
    )
    assert card["last"] == 20


def test_a_second_measurement_is_charted_beside_the_first() -> None:
    ward = measured(20, 21, 20)
    bundle = ward.open("dressing-change")
    values = {**VALUES, "chart-external-length": 27, "chart-external-length-again": 28}
    ward.send(account_of(bundle, values=values))
    first, change = ward.entries()

    assert (first.kind, change.kind) == ("site-check", "dressing-change")
    assert first.body["external_length_mm"] == 27
    assert change.body["external_length_mm"] == 28
    assert first.happened_at < change.happened_at
    assert change.happened_at - first.happened_at < timedelta(hours=1)
    assert first.body["arm"] == change.body["arm"]


def test_one_measurement_is_one_entry() -> None:
    ward = measured(20)
    ward.send(account_of(ward.open("dressing-change")))

    assert [entry.kind for entry in ward.entries()] == ["dressing-change"]


@pytest.mark.parametrize("procedure", ["dressing-change", "connector-change"])
def test_the_child_is_laid_with_the_arm_in_one_position(procedure: str) -> None:
    """The one of the last reading; how else, only while nobody charted one."""
    [first] = _laid(measured().open(procedure))
    [then] = _laid(measured(20).open(procedure))

    assert first.endswith("the arm out from the body.")
    if procedure == "dressing-change":
        assert then.endswith("the arm as it lay when the length was last read.")
        assert "out from the body" not in then


def _laid(bundle: dict[str, Any]) -> set[str]:
    """Return what is said of how the child lies, to either person."""
    steps = [one for one in bundle["steps"] if one["verb"] == "position"]
    return {
        said
        for one in steps
        for said in (one["says"], one["operator"]["do"], one["assistant"]["do"])
        if said and "exit point" in said
    }
