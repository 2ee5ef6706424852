"""What a chart leaves out, however it left it out, is unknown and is asked for."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from tests.fakes.by_hand import chart_entry
from tests.fakes.chart import ShippedPolicies
from tests.unit.ward.infections.infections_told import ToldChild

from lumenkeep.errors import ChartError
from lumenkeep.ward.infections.infection import ASKS

DAY = timedelta(days=1)
POLICIES = ShippedPolicies()


@pytest.fixture
def told() -> ToldChild:
    made = ToldChild()
    made.tip()
    return made


def brought_along(told: ToldChild) -> None:
    """Send the child home and take it in again with its line, seven days ago."""
    told.write("stay", 9 * DAY, ward=None, to="home")
    told.write("stay", 7 * DAY, ward="kestrel", bed="07", unit="x")


@pytest.mark.parametrize(
    ("kind", "body", "is_access"),
    [
        ("needle-change", {}, True),
        ("needle-change", {"doing": "in"}, True),
        ("needle-change", {"doing": "changed"}, True),
        ("needle-change", {"doing": "out"}, False),
        ("set-change", {"kind": "plain"}, True),
        ("set-change", {"doing": "down"}, False),
        ("set-change", {"doing": "stopped"}, False),
        ("line-use", {"in_use": True}, True),
        ("line-use", {"in_use": False}, False),
        ("line-use", {}, False),
        ("line-access", {"for": "infusion"}, True),
        ("line-access", {}, True),
    ],
)
def test_what_enters_the_line_is_access(
    told: ToldChild, kind: str, body: dict[str, Any], *, is_access: bool
) -> None:
    """R4: entered with a needle or a needleless device to give, take or monitor."""
    brought_along(told)
    told.write(kind, 6 * DAY, line="l-1", **body)
    told.blood(2 * DAY, "arm", "Klebsiella oxytoca")

    one = told.only()

    assert one.is_clabsi is (True if is_access else None)
    assert [ask.charts_as for ask in one.asks] == ([] if is_access else ["line-access"])


def test_not_used_so_far_settles_that_no_line_counts(told: ToldChild) -> None:
    brought_along(told)
    told.blood(4 * DAY, "arm", "Klebsiella oxytoca")
    assert told.only().is_clabsi is None
    told.write("line-access", 3 * DAY, line="l-1", **{"for": "none"})

    assert told.only().verdict == "primary"


def test_used_later_than_it_was_said_to_be_unused_still_counts(told: ToldChild) -> None:
    brought_along(told)
    told.write("line-access", 6 * DAY, line="l-1", **{"for": "none"})
    told.write("line-access", 5 * DAY, line="l-1", **{"for": "infusion"})
    told.blood(2 * DAY, "arm", "Klebsiella oxytoca")

    assert told.only().is_clabsi is True


@pytest.mark.parametrize(
    "body",
    [
        {"source": "blood", "draw": "leg"},
        {"source": "blood", "draw": "leg", "result": "pending"},
        {"source": "blood", "draw": "leg", "organisms": []},
    ],
)
def test_blood_without_a_result_is_asked_for_and_never_negative(
    told: ToldChild, body: dict[str, Any]
) -> None:
    told.blood(2 * DAY, "arm", "Staphylococcus hominis")
    told.write("sign", 2 * DAY, kind="chills")
    awaited = told.write("specimen", 1 * DAY, **body)

    one = next(i for i in told.infections() if i.proposal.organism)

    assert (one.status, one.verdict) == (ASKS, None)
    assert (one.asks[0].charts_as, one.asks[0].about) == (
        "specimen-result", str(awaited.id)
    )  # fmt: skip


def test_what_grew_without_a_name_is_asked_for(told: ToldChild) -> None:
    told.write("specimen", 2 * DAY, source="blood", draw="arm", result="grew")

    one = told.only()

    assert (one.verdict, one.asks[0].charts_as) == (None, "organism")


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("sign", {}),
        ("sign", {"celsius": 39.0}),
        ("blood-count", {"kind": "anc"}),
        ("gut", {"kind": "stool"}),
        ("gut", {}),
        ("other-infection", {"kind": "uti"}),
        ("other-infection", {"date_of_event": "2026-11-20"}),
        ("condition", {}),
        ("transplant", {"kind": "allogeneic"}),
        ("device", {"doing": "in"}),
        ("device", {"kind": "ecmo"}),
        ("pus", {}),
        ("self-injection", {}),
        ("organism", {"name": "x"}),
        ("specimen-result", {"result": "grew"}),
        ("weight", {}),
        ("birth", {}),
        ("stay", {}),
    ],
)
def test_a_body_without_its_keys_breaks_nothing(
    told: ToldChild, kind: str, body: dict[str, Any]
) -> None:
    told.write(kind, 3 * DAY, **body)
    told.blood(2 * DAY, "arm", "Klebsiella oxytoca")

    assert told.only().verdict in ("clabsi", None, "primary")


def test_a_stay_that_does_not_say_where_leaves_the_stays_open(told: ToldChild) -> None:
    told.write("stay", 3 * DAY)
    told.blood(2 * DAY, "arm", "Klebsiella oxytoca")

    one = told.only()

    assert (one.verdict, one.asks[0].charts_as) == (None, "stay")


def test_an_organism_is_settled_by_an_entry_of_its_own(told: ToldChild) -> None:
    told.blood(2 * DAY, "arm", "Klebsiela oxitoca")
    assert told.only().verdict is None
    said = told.write(
        "organism", DAY, name="Klebsiela oxitoca", **{"is": "known-name"},
        known_as="Klebsiella oxytoca",
    )  # fmt: skip
    assert told.only().verdict == "clabsi"
    told.write("withdrawn", DAY, corrects=said.id, because="wrong")

    assert told.only().verdict is None


def test_a_corrected_specimen_settles_it_too(told: ToldChild) -> None:
    taken = told.blood(2 * DAY, "arm", "Klebsiela oxitoca")
    told.write(
        "specimen-result", DAY, specimen=taken.id, result="grew",
        organisms=["Klebsiella oxytoca"],
    )  # fmt: skip

    assert told.only().verdict == "clabsi"


def send(told: ToldChild, **typed: str) -> list[str]:
    """Chart a specimen by its form; return what grew."""
    form = {
        "at": "2026-11-24T08:00", "source": "blood", "draw": "arm",
        "method": "culture", "result": "grew", **typed,
    }  # fmt: skip
    [entry] = chart_entry(
        told.chart, POLICIES, told.clock, line="l-1", kind="specimen", typed=form,
        by="s-1",
    )  # fmt: skip
    return list(entry.body["organisms"])


def test_a_name_not_understood_is_asked_back_with_the_names_near_it(
    told: ToldChild,
) -> None:
    with pytest.raises(ChartError) as caught:
        send(told, organisms="S. aureus\nKlebsiela oxitoca")

    [fault] = caught.value.faults
    assert (fault.code, fault.where) == ("chart-organism-unknown", "meant-0")
    assert "Did you mean Klebsiella oxytoca" in fault.what


def test_the_name_chosen_takes_its_place_and_the_one_written_may_stay(
    told: ToldChild,
) -> None:
    names = "S. aureus\nKlebsiela oxitoca"
    chosen = send(told, **{"organisms": names, "meant-0": "Klebsiella oxytoca"})
    kept = send(
        told,
        **{"organisms": names, "meant-0": "as-written", "at": "2026-11-24T09:00"},
    )

    assert chosen == ["S. aureus", "Klebsiella oxytoca"]
    assert kept == ["S. aureus", "Klebsiela oxitoca"]


def test_another_name_must_be_one_that_is_known(told: ToldChild) -> None:
    with pytest.raises(ChartError) as caught:
        chart_entry(
            told.chart, POLICIES, told.clock, line="l-1", kind="organism",
            typed={"name": "X", "is": "known-name", "known-as": "Klebsiela"}, by="s-1",
        )  # fmt: skip

    assert [fault.where for fault in caught.value.faults] == ["known-as"]
