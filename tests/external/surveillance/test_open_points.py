"""Points on which the rules of a year meet, each with the rule and how it is known.

The rules are those of the national protocol's bloodstream chapter as it stood in
January 2024 and 2025. "found": a text was seen; "remembered": none was, so the rule
comes back with the answer as to be confirmed against the edition in force.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.unit.core.outcomes.made import (
    PROTOCOL,
    at,
    blood,
    child,
    day,
    line,
    only,
    said,
)

from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.timeline import CellCount, OtherInfection, Sign

pytestmark = pytest.mark.external

UTI = OtherInfection(
    "uti", day(9), (day(7), day(13)), ("Escherichia coli",), blood_is_element=False
)


def test_secondary_blood_inside_a_timeframe_joins_nothing() -> None:
    """R12 and R21; that it is not added is remembered (R20f says "not secondary")."""
    first, second = determine(
        child(
            blood("b1", 6, "S. aureus"),
            blood("b2", 10, "E. coli"),
            other_infections=(UTI,),
        ),
        PROTOCOL,
    )

    assert (first.type, second.type, second.added_to) == ("LCBI-1", "secondary", None)
    assert first.repeat == (day(6), day(19))
    assert "blood that belongs elsewhere is not added to it." in said(second)
    assert "secondary to another site" in (PROTOCOL.rules["R12"].to_confirm or "")


def test_secondary_blood_inside_a_timeframe_retypes_nothing() -> None:
    """R20f, remembered and the least sure: re-typed only by blood *not* secondary."""
    neutropenic = tuple(CellCount(at(number), "anc", 100) for number in (8, 9, 10))
    uti = OtherInfection(
        "uti", day(12), (day(10), day(16)), ("P. aeruginosa",), blood_is_element=False
    )
    first, second = determine(
        child(
            blood("b1", 9, "E. coli"),
            blood("b2", 13, "P. aeruginosa"),
            counts=neutropenic,
            other_infections=(uti,),
        ),
        PROTOCOL,
    )

    assert (first.type, second.type) == ("MBI-LCBI-1", "secondary")


def test_a_pathogen_that_joins_a_pair_leaves_its_date_of_event() -> None:
    """R12, found: a repeat does not re-date. R15, remembered: pathogen goes first."""
    fever = Sign(at(8), "temperature", 38.9)
    first, second = determine(
        child(
            blood("b1", 9, "S. epidermidis"),
            blood("b2", 10, "S. epidermidis"),
            blood("b3", 11, "K. pneumoniae"),
            signs=(fever,),
        ),
        PROTOCOL,
    )

    assert (first.type, first.organism) == ("LCBI-1", "Klebsiella pneumoniae")
    assert (first.event_on, first.window) == (day(8), (day(6), day(12)))
    assert (first.repeat, second.added_to) == ((day(8), day(21)), "b1")


def test_a_pathogen_after_the_window_joins_but_does_not_name_the_event() -> None:
    """R10, found: every element of a criterion lies in the window, D6 to D12 here."""
    fever = Sign(at(8), "temperature", 38.9)
    first, _ = determine(
        child(
            blood("b1", 9, "S. epidermidis"),
            blood("b2", 10, "S. epidermidis"),
            blood("b3", 13, "K. pneumoniae"),
            signs=(fever,),
        ),
        PROTOCOL,
    )

    assert (first.type, first.organism) == ("LCBI-2", "Staphylococcus epidermidis")


def test_placing_a_line_is_access_to_it() -> None:
    """R4, found: access is the placement of the line, or entering it."""
    late = line(first=4, first_access=at(6))

    event = only(child(blood("b", 6, "S. aureus"), lines=(late,)))

    assert (event.line_day, event.is_clabsi) == (3, True)


def test_a_later_use_never_takes_eligibility_away() -> None:
    """R4, found: what is charted of later use changes nothing of a line placed here."""
    never = line(first=4, first_access=None)
    events = {
        only(child(blood("b", 6, "S. aureus"), lines=(one,))).line_day
        for one in (never, line(first=4), line(first=4, first_access=at(5)))
    }

    assert events == {3}


def test_a_port_counts_from_its_needle_even_when_placed_here() -> None:
    """R8, remembered; worked figure N8: in on D1 to D6, accessed on D4: three days."""
    port = line(first=1, kind="port", first_access=at(4))

    event = only(child(blood("b", 6, "S. aureus"), lines=(port,)))

    assert (event.line_day, event.is_clabsi) == (3, True)


def test_a_line_brought_along_and_told_never_used_does_not_count() -> None:
    """R4, found; R5, found: counted from first access in an inpatient location."""
    brought = line(first=-5, first_access=None)

    event = only(child(blood("b", 6, "S. aureus"), lines=(brought,)))

    assert (event.line_day, event.is_clabsi) == (None, False)
    assert "The line was not accessed." in said(event)


def test_a_line_brought_along_of_which_no_use_is_told_is_asked_about() -> None:
    """R4, found: unknown is not never."""
    brought = line(first=-5, first_access=None, access_is_told=False)

    event = only(child(blood("b", 6, "S. aureus"), lines=(brought,)))

    assert "Not known: whether line line-1 was accessed in this stay." in said(event)


@pytest.mark.parametrize(
    "name", ["Cytomegalovirus", "CMV", "Epstein-Barr virus", "Plasmodium falciparum"]
)
def test_viruses_and_parasites_make_no_infection_of_the_blood(name: str) -> None:
    """R14, remembered: viruses and parasites are not usable for a confirmed event."""
    event = only(child(blood("b", 6, name)))

    assert (event.type, event.is_clabsi) == ("none", False)
    assert "can make no primary infection." in said(event)
    assert "viruses and parasites" in (PROTOCOL.rules["R14"].to_confirm or "")


def test_a_virus_beside_a_pathogen_takes_nothing_from_it() -> None:
    """The organism sheet's row 3.3, remembered: barred only as the sole organism."""
    event = only(child(blood("b", 6, "CMV", "S. aureus")))

    assert (event.type, event.organism) == ("LCBI-1", "Staphylococcus aureus")


def test_a_virus_nobody_listed_is_asked_about_and_never_an_infection() -> None:
    """A gap in our list never makes an infection."""
    event = only(child(blood("b", 6, "Unheardofvirus")))

    assert (event.type, event.is_clabsi) == ("none", False)
    assert any(step.kind == "missing" for step in event.steps)
    assert "If instead it counted as a pathogen, it would be LCBI-1, CLABSI." in said(
        event
    )


def test_a_line_day_is_a_calendar_day() -> None:
    """R5, found: any part of a day counts as a day, also of the day of placing."""
    event = only(child(blood("b", 3, "S. aureus"), lines=(line(first=1),)))

    assert event.line_day == (day(3) - day(1)) // timedelta(days=1) + 1
