"""Charting specimens, signs and the rest: what is refused, what is kept, correction."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.fakes.by_hand import chart_entry, correct_entry, withdraw_entry
from tests.fakes.chart import ShippedPolicies
from tests.fakes.clock import NOON
from tests.unit.ward.infections.infections_told import ToldChild

from lumenkeep.demo.hospital import KESTREL, STAFF
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.charting.bedside import specimens_in_words

POLICIES = ShippedPolicies()
AT = "2026-11-25T11:30"
BLOOD = {
    "at": AT, "source": "blood", "draw": "left arm", "method": "culture",
    "result": "grew", "organisms": "E. coli\nStaph, coag neg",
}  # fmt: skip


@pytest.fixture
def told() -> ToldChild:
    return ToldChild()


def _chart(told: ToldChild, kind: str, /, **typed: str):
    (entry,) = chart_entry(
        told.chart, POLICIES, told.clock, line="l-1", kind=kind, typed=typed, by="s-1"
    )
    return entry


def _faults(told: ToldChild, kind: str, /, **typed: str) -> dict[str, str]:
    with pytest.raises(ChartError) as caught:
        _chart(told, kind, **typed)
    return {fault.where: fault.code for fault in caught.value.faults}


def test_a_specimen_is_an_entry_of_the_child_with_one_name_a_line(
    told: ToldChild,
) -> None:
    entry = _chart(told, "specimen", **BLOOD)

    assert (entry.line, entry.happened_at) == (None, NOON - timedelta(minutes=30))
    assert entry.body == {
        "source": "blood",
        "draw": "left arm",
        "method": "culture",
        "result": "grew",
        "organisms": ["E. coli", "Staph, coag neg"],
    }


@pytest.mark.parametrize(
    ("kind", "typed", "faults"),
    [
        ("specimen", {**BLOOD, "draw": ""}, {"draw": "chart-missing"}),
        ("specimen", {**BLOOD, "organisms": ""}, {"organisms": "chart-missing"}),
        ("specimen", {**BLOOD, "result": "pending"}, {"result": "chart-contradiction"}),
        ("specimen", {**BLOOD, "source": "hair"}, {"source": "chart-unknown-word"}),
        (
            "specimen",
            {},
            {
                "source": "chart-missing",
                "method": "chart-missing",
                "result": "chart-missing",
            },
        ),
        ("sign", {"at": AT, "kind": "temperature"}, {"celsius": "chart-missing"}),
        (
            "sign",
            {"at": AT, "kind": "temperature", "celsius": "101"},
            {"celsius": "chart-out-of-range"},
        ),
        (
            "sign",
            {"at": AT, "kind": "temperature", "celsius": "warm"},
            {"celsius": "chart-not-a-number"},
        ),
        (
            "blood-count",
            {"at": AT, "kind": "anc", "per_mm3": "0.4"},
            {"per_mm3": "chart-out-of-range"},
        ),
        ("gut", {"at": AT, "kind": "gvhd"}, {"grade": "chart-missing"}),
        ("gut", {"at": AT, "kind": "stool"}, {"ml_24h": "chart-missing"}),
        (
            "other-infection",
            {
                "kind": "uti",
                "date_of_event": "2026-11-20",
                "window_first": "2026-11-21",
                "window_last": "2026-11-24",
                "blood_is_element": "no",
            },
            {"date_of_event": "chart-contradiction"},
        ),
        (
            "other-infection",
            {
                "kind": "uti",
                "date_of_event": "20.11.",
                "window_first": "2026-11-21",
                "blood_is_element": "no",
            },
            {
                "date_of_event": "chart-bad-day",
                "window_last": "chart-contradiction",
            },
        ),
        (
            "line-tip",
            {"at": "2026-11-01T08:00", "tip": "elsewhere"},
            {"at": "chart-too-long-ago"},
        ),
        (
            "specimen-result",
            {"at": AT, "specimen": "999", "result": "no-growth"},
            {"specimen": "chart-unknown-word"},
        ),
        ("haircut", {}, {"kind": "chart-no-such-fact"}),
    ],
)
def test_what_cannot_be_is_refused_with_every_fault(
    told: ToldChild, kind: str, typed: dict[str, str], faults: dict[str, str]
) -> None:
    assert _faults(told, kind, **typed) == faults


@pytest.mark.parametrize(
    ("kind", "typed", "body"),
    [
        (
            "sign",
            {"at": AT, "kind": "chills", "celsius": "38.2"},
            {"kind": "chills"},
        ),
        (
            "blood-count",
            {"at": AT, "kind": "anc", "per_mm3": "400"},
            {"kind": "anc", "per_mm3": 400.0},
        ),
        (
            "gut",
            {"at": AT, "kind": "gvhd", "grade": "3"},
            {"kind": "gvhd", "grade": 3},
        ),
        (
            "gut",
            {"at": AT, "kind": "stool", "ml_24h": "260", "mass_kg": "12"},
            {"kind": "stool", "ml_24h": 260.0, "mass_kg": 12.0},
        ),
        (
            "transplant",
            {"kind": "allogeneic", "on": "2026-08-01"},
            {"kind": "allogeneic", "on": "2026-08-01"},
        ),
        (
            "other-infection",
            {
                "kind": "nec",
                "date_of_event": "2026-11-20",
                "blood_is_element": "yes",
            },
            {
                "kind": "nec",
                "date_of_event": "2026-11-20",
                "organisms": [],
                "blood_is_element": True,
            },
        ),
        ("self-injection", {"at": AT, "how": "suspected"}, {"how": "suspected"}),
        ("device", {"at": AT, "kind": "vad", "doing": "in"},
         {"kind": "vad", "doing": "in"}),
    ],
)  # fmt: skip
def test_what_was_typed_is_what_is_kept(
    told: ToldChild, kind: str, typed: dict[str, str], body: dict[str, object]
) -> None:
    assert _chart(told, kind, **typed).body == body


def test_a_fact_of_the_line_is_an_entry_of_the_line(told: ToldChild) -> None:
    entry = _chart(told, "line-access", **{"at": AT, "for": "infusion"})

    assert (entry.line, entry.body) == ("l-1", {"for": "infusion"})


def test_a_result_names_its_specimen(told: ToldChild) -> None:
    taken = _chart(told, "specimen", **{**BLOOD, "result": "pending", "organisms": ""})
    result = _chart(
        told, "specimen-result", at=AT, specimen=str(taken.id), result="grew",
        organisms="E. coli",
    )  # fmt: skip

    assert result.body["specimen"] == taken.id
    assert told.only().proposal.organism == "Escherichia coli"


def test_a_specimen_can_be_typed_anew(told: ToldChild) -> None:
    wrong = _chart(told, "specimen", **BLOOD)
    (right,) = correct_entry(
        told.chart, POLICIES, told.clock, line="l-1", entry=wrong.id,
        typed={**BLOOD, "organisms": "E. coli"}, by=STAFF[0],
    )  # fmt: skip

    assert (right.kind, right.corrects) == ("specimen", wrong.id)
    assert right.body["organisms"] == ["E. coli"]


def test_a_correction_without_a_time_keeps_the_time_of_what_was_wrong(
    told: ToldChild,
) -> None:
    wrong = _chart(told, "transplant", kind="autologous", on="2026-08-01")
    told.clock.move(hours=3)
    (right,) = correct_entry(
        told.chart, POLICIES, told.clock, line="l-1", entry=wrong.id,
        typed={"kind": "allogeneic", "on": "2026-08-01"}, by=STAFF[0],
    )  # fmt: skip

    assert right.happened_at == wrong.happened_at


def test_a_specimen_of_another_child_can_be_taken_back(told: ToldChild) -> None:
    wrong = _chart(told, "specimen", **BLOOD)
    withdraw_entry(
        told.chart, POLICIES, told.clock, line="l-1", entry=wrong.id,
        typed={"because-wrong": "another child's"}, by=STAFF[0],
    )  # fmt: skip

    assert told.infections() == ()


def test_specimens_are_named_by_what_where_and_when(told: ToldChild) -> None:
    taken = _chart(told, "specimen", **BLOOD)

    assert specimens_in_words(told.chart.entries("l-1"), KESTREL.zone) == {
        str(taken.id): "Blood, left arm, Wed 25 Nov 2026 11:30"
    }
