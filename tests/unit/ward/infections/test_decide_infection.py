"""Deciding on an infection: who may, what must be said, and when it asks again."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.fakes.at_ward import at_ward, sent
from tests.unit.ward.infections.infections_told import ToldChild

from lumenkeep.errors import ChartError
from lumenkeep.ward.infections.decide import decide_infection
from lumenkeep.ward.infections.infection import ASKS, PROPOSED


@pytest.fixture
def told() -> ToldChild:
    child = ToldChild()
    child.tip()
    child.blood(timedelta(days=4), "arm", "Klebsiella oxytoca")
    return child


def _decide(told: ToldChild, *, by: str = "s-agate", form: str = "f-1", **typed: str):
    one = told.only()
    return decide_infection(
        at_ward(told.chart, told.clock),
        sent({"proposal": one.digest, **typed}, by, form),
        children=told.children,
        event=one.event,
    )


def _codes(told: ToldChild, **typed: str) -> set[tuple[str, str]]:
    with pytest.raises(ChartError) as caught:
        _decide(told, **typed)
    return {(fault.code, fault.where) for fault in caught.value.faults}


def test_confirming_keeps_the_proposal_beside_the_decision(told: ToldChild) -> None:
    (entry,) = _decide(told, decision="confirmed")

    assert entry.kind == "infection-decision"
    assert entry.body["verdict"] == "clabsi"
    assert entry.body["ward"] == "kestrel"
    assert entry.body["proposed"]["organism"] == "Klebsiella oxytoca"
    one = told.only()
    assert (one.status, one.is_clabsi, one.ward) == ("confirmed", True, "kestrel")


def test_deciding_otherwise_counts_instead_of_the_proposal(told: ToldChild) -> None:
    _decide(
        told, decision="overridden", verdict="secondary", because="The bile grew it."
    )

    one = told.only()
    assert (one.status, one.is_clabsi, one.ward) == ("overridden", False, None)
    assert one.proposal.is_clabsi  # kept as it was


def test_deciding_otherwise_may_move_ward_and_day(told: ToldChild) -> None:
    _decide(
        told, decision="overridden", verdict="clabsi-barrier", ward="heron",
        on="2026-11-20", because="Moved that morning.",
    )  # fmt: skip

    one = told.only()
    assert (one.ward, one.on, one.is_barrier) == ("heron", date(2026, 11, 20), True)


def test_leaving_it_open_says_so_and_counts_as_proposed(told: ToldChild) -> None:
    _decide(told, decision="left-open", because="Waiting for the film.")

    one = told.only()
    assert (one.status, one.decision, one.is_clabsi) == ("left-open", None, True)


def test_the_latest_decision_stands(told: ToldChild) -> None:
    _decide(told, decision="confirmed")
    _decide(
        told, form="f-2", decision="overridden", verdict="none", because="Not blood."
    )

    assert told.only().verdict == "none"


def test_a_new_specimen_makes_it_ask_again(told: ToldChild) -> None:
    _decide(told, decision="confirmed")
    told.blood(timedelta(days=1), "leg", "Staphylococcus aureus")

    one = told.only()
    assert (one.status, one.is_old_decision, one.decision) == (PROPOSED, True, None)
    assert one.last_decision is not None
    assert one.last_decision.verdict == "clabsi"


def test_a_decision_that_was_taken_back_stands_no_more(told: ToldChild) -> None:
    (entry,) = _decide(told, decision="confirmed")
    told.write("withdrawn", timedelta(), corrects=entry.id, because="wrong child")

    assert told.only().status == PROPOSED


def test_a_form_sent_twice_is_written_once(told: ToldChild) -> None:
    first = _decide(told, decision="confirmed")

    assert _decide(told, decision="confirmed") == first


def test_only_the_educator_decides(told: ToldChild) -> None:
    assert _codes(told, by="s-basalt", decision="confirmed") == {
        ("chart-may-not-decide", "decision")
    }


def test_a_proposal_that_changed_meanwhile_is_refused(told: ToldChild) -> None:
    assert _codes(told, decision="confirmed", proposal="0123456789abcdef") == {
        ("chart-proposal-changed", "decision")
    }


def test_all_that_is_missing_is_said_at_once(told: ToldChild) -> None:
    assert _codes(told, decision="overridden", verdict="clabsi") == {
        ("chart-missing", "ward"),
        ("chart-missing", "on"),
        ("chart-missing", "because"),
    }


@pytest.mark.parametrize(
    ("on", "code"),
    [("2026-11-26", "chart-in-the-future"), ("soon", "chart-bad-day")],
)
def test_a_day_that_cannot_be_is_refused(told: ToldChild, on: str, code: str) -> None:
    assert (code, "on") in _codes(
        told, decision="overridden", verdict="primary", ward="heron", because="x", on=on
    )


def test_nothing_is_confirmed_where_a_fact_is_missing() -> None:
    told = ToldChild()
    told.blood(timedelta(days=4), "arm", "Klebsiella oxytoca")

    assert _codes(told, decision="confirmed") == {("chart-cannot-confirm", "decision")}
    _decide(told, decision="overridden", verdict="none", because="Seen on paper.")
    assert told.only().verdict == "none"
    assert told.only().asks


def test_a_fact_charted_later_makes_a_left_open_one_a_proposal() -> None:
    told = ToldChild()
    told.blood(timedelta(days=4), "arm", "Klebsiella oxytoca")
    assert told.only().status == ASKS
    _decide(told, decision="left-open")
    told.tip()

    one = told.only()
    assert (one.status, one.is_old_decision, one.is_clabsi) == (PROPOSED, True, True)


def test_blood_that_grew_nothing_cannot_be_decided(told: ToldChild) -> None:
    blood = told.blood(timedelta(days=1), "leg")
    with pytest.raises(ChartError) as caught:
        decide_infection(
            at_ward(told.chart, told.clock),
            sent(by="s-agate"),
            children=told.children,
            event=blood.id,
        )

    assert [f.code for f in caught.value.faults] == ["chart-no-such-infection"]
