"""Blood that is easily put in the wrong place, found by a second determination.

The rules are the national protocol's of January 2024 and 2025; each test names its
rule and whether a text of it was seen ("found") or not ("remembered").
"""

from __future__ import annotations

from typing import Any

import pytest
from tests.external.surveillance.command import (
    ask,
    blood,
    event_of,
    fever,
    infection,
    line,
    stay,
    timeline,
)

pytestmark = pytest.mark.external


def with_infection(kind: str, grew: str, of: list[str], **more: Any) -> dict:
    other = infection(kind, 9, (6, 12), *of) | more
    return event_of(
        ask(
            timeline(
                lines=[line(1)],
                specimens=[blood("b", 9, *grew.split(", "))],
                other_infections=[other],
            )
        ),
        "b",
    )


def test_candida_in_blood_is_no_element_of_a_urinary_infection() -> None:
    """R14, found in a 2018 training: candidaemia is never secondary to the urine."""
    event = with_infection("uti", "Candida albicans", [], blood_is_element=True)

    assert (event["type"], event["clabsi"]) == ("LCBI-1", True)


def test_a_bacterium_in_blood_may_be_an_element_of_a_urinary_infection() -> None:
    """R21 b, found: the positive blood itself is an element, inside the window."""
    event = with_infection("uti", "E. coli", [], blood_is_element=True)

    assert event["type"] == "secondary"


def test_an_organism_of_no_definition_ties_blood_to_no_other_site() -> None:
    """R14, found: such genera are usable for no definition of the manual."""
    event = with_infection(
        "pneumonia", "Cryptococcus neoformans, S. aureus", ["Cryptococcus neoformans"]
    )

    assert (event["type"], event["clabsi"]) == ("LCBI-1", True)


def test_an_organism_barred_from_primary_infection_may_still_be_secondary() -> None:
    """The organism sheet's row 3.2, remembered: barred only where primary."""
    event = with_infection("intra-abdominal", "Salmonella sp.", ["Salmonella sp."])

    assert event["type"] == "secondary"


def test_a_pathogen_beside_the_second_commensal_names_the_event() -> None:
    """R15, remembered: where both qualify it is criterion 1. R12, found: no new date."""
    events = ask(
        timeline(
            lines=[line(1)],
            signs=[fever(8, 38.9)],
            specimens=[
                blood("a", 9, "S. epidermidis"),
                blood("b", 10, "S. epidermidis", "S. aureus"),
            ],
        )
    )
    first, second = event_of(events, "a"), event_of(events, "b")

    assert (first["type"], first["organism"]) == ("LCBI-1", "Staphylococcus aureus")
    assert first["date_of_event"] == fever(8, 38.9)["at"]
    assert second["added_to"] == "a"


def test_the_last_of_three_commensals_without_a_sign_is_not_called_alone() -> None:
    """R18, found in part: D8 and D9 are a pair, whatever D7 and D8 are."""
    events = ask(
        timeline(
            specimens=[blood(f"b{at}", at, "S. epidermidis") for at in (7, 8, 9)],
        )
    )
    last = event_of(events, "b9")

    assert last["type"] == "none"
    assert last["infection_window"] is not None
    assert not any(
        "without a matching draw" in step["text"] for step in last["because"]
    )


def test_each_commensal_of_a_draw_may_have_a_partner_of_its_own() -> None:
    """R18, found in part, and R19, remembered: judged pair by pair."""
    events = ask(
        timeline(
            lines=[line(1)],
            signs=[fever(8, 38.9)],
            specimens=[
                blood("a", 9, "Rothia mucilaginosa", "Streptococcus mitis"),
                blood("b", 10, "Rothia mucilaginosa"),
                blood("c", 10, "Streptococcus mitis", draw="b"),
            ],
        )
    )

    assert [one["type"] for one in events] == ["LCBI-2"]
    assert events[0]["specimens"] == ["a", "b", "c"]


def test_a_timeframe_reaches_every_admission_that_has_its_event_on_admission() -> None:
    """R9, its day -2 remembered: D1 lies two days before the third admission, too."""
    events = ask(
        timeline(
            stays=[stay("a", 1, 1), stay("b", 2, 2), stay("c", 3)],
            specimens=[blood("first", 1, "S. aureus"), blood("second", 8, "E. coli")],
        )
    )

    assert event_of(events, "second")["added_to"] == "first"
