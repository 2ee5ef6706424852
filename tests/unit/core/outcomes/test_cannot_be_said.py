"""What is not known and would decide: named, one by one, and never read as no."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from tests.unit.core.outcomes.made import at, blood, child, day, line, only, said

from lumenkeep.core.outcomes import runs
from lumenkeep.core.outcomes.derivation import CLABSI, NO_CLABSI, OPEN
from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.line_spans import NO_KIND
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.core.outcomes.timeline import (
    Dated,
    GutFinding,
    Noted,
    OtherInfection,
    SettledName,
    Sign,
    Timeline,
    WardStay,
)

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.derivation import Event

AUREUS = blood("b", 6, "S. aureus")
CHILLS = (Sign(at(6), "chills", None),)
SITE = OtherInfection("wound", day(8), (day(5), day(11)), ("S. aureus",), False)
PUS = Noted(at(6), "pus", "midline", ("S. aureus",))
UNTOLD: dict[str, tuple[Timeline, str]] = {
    "the tip": (
        child(AUREUS, lines=(line(tip=None),)),
        "line line-1: where the tip lies",
    ),
    "the kind": (
        child(AUREUS, lines=(line(kind=NO_KIND),)),
        "line line-1: which kind it is",
    ),
    "the first use of a line brought along": (
        child(AUREUS, lines=(line(-5, first_access=None, access_is_told=False),)),
        "line line-1: first access in this stay",
    ),
    "the first use of a port placed here": (
        child(
            AUREUS,
            lines=(line(kind="port", first_access=None, access_is_told=False),),
        ),
        "line line-1: first access in this stay",
    ),
    "the day of placing": (
        child(AUREUS, lines=(line(inserted=None, first_access=at(5)),)),
        "line line-1: the day of insertion",
    ),
    "the day of removal": (
        child(AUREUS, lines=(line(removal_is_told=False),)),
        "line line-1: the day of removal",
    ),
    "the stays": (child(AUREUS, stays=()), "stays: when the child lay"),
    "the birth": (
        child(
            blood("b", 6, "CoNS"),
            blood("c", 7, "CoNS"),
            signs=(Sign(at(6), "apnoea", None),),
            born=None,
        ),
        "child: the day of birth",
    ),
    "the birth, of early group B": (
        child(blood("b", 4, "group B streptococcus"), born=None),
        "child: the day of birth",
    ),
    "which bottles were one draw": (
        child(
            blood("b", 6, "CoNS", draw=None),
            blood("c", 6, "CoNS", draw=None),
            signs=CHILLS,
        ),
        "blood b + c: whether they were separate draws",
    ),
    "whether a bottle was of a named draw": (
        child(
            blood("b", 6, "CoNS", draw="a"),
            blood("c", 6, "CoNS", draw=None),
            signs=CHILLS,
        ),
        "blood b + c: whether they were separate draws",
    ),
    "a result": (
        child(
            blood("b", 6, "CoNS"),
            replace(blood("c", 7, draw="c"), result_is_told=False),
            signs=CHILLS,
        ),
        "blood c of 2025-03-16: its result",
    ),
    "what the specimen was": (
        child(replace(AUREUS, source="")),
        "specimen b of 2025-03-15: what it is",
    ),
    "how high it was": (
        child(
            blood("b", 6, "CoNS"),
            blood("c", 7, "CoNS"),
            signs=(Sign(at(6), "temperature", None),),
        ),
        "temperature on 2025-03-15: its degrees",
    ),
    "the window elsewhere": (
        child(AUREUS, other_infections=(replace(SITE, window=None),)),
        "wound with date of event 2025-03-17: its infection window",
    ),
    "whether it is an element": (
        child(
            AUREUS,
            other_infections=(replace(SITE, organisms=(), blood_is_element=None),),
        ),
        "whether the blood is part of what proves it",
    ),
    "what grew elsewhere": (
        child(
            AUREUS,
            other_infections=(
                replace(SITE, organisms=(), organisms_are_told=False),
            ),
        ),
        "what grew at that site",
    ),
    "the ventilator event": (
        child(AUREUS, other_infections=(replace(SITE, kind="vae", event_on=day(6)),)),
        "whether the blood belongs to it",
    ),
    "what grew in the pus": (
        child(
            AUREUS, noted=(replace(PUS, organisms=(), organisms_are_told=False),)
        ),
        "pus at midline on 2025-03-15: what grew in it",
    ),
    "where the pus was": (
        child(AUREUS, noted=(replace(PUS, vascular_site=None),)),
        "pus on 2025-03-15: at which vascular site",
    ),
    "what the organism is": (
        child(blood("b", 6, "Stafilococus aureas")),
        "organism “Stafilococus aureas”: what it is; did you mean",
    ),
    "whether it is a commensal": (
        child(blood("b", 6, "Staphylococcus lugdunensis")),
        "organism “Staphylococcus lugdunensis”: commensal or pathogen",
    ),
}  # fmt: skip


def of_blood(timeline: Timeline) -> Event:
    """Return the event of the blood ``b``."""
    found = determine(timeline, protocol_year("2025"))
    return next(event for event in found if "b" in event.specimens)


@pytest.mark.parametrize("what", UNTOLD)
def test_it_cannot_be_said_and_the_fact_is_named(what: str) -> None:
    timeline, named = UNTOLD[what]

    event = of_blood(timeline)

    assert (event.verdict, event.clabsi) == (OPEN, None)
    assert any(named in one.named for one in event.unknown if one.settles_clabsi)
    assert "Not a CLABSI" not in said(event)
    assert "It cannot be said until it is known" in said(event)


@pytest.mark.parametrize("what", UNTOLD)
def test_each_fact_says_what_its_answers_would_make_of_it(what: str) -> None:
    event = of_blood(UNTOLD[what][0])

    for one in event.unknown:
        assert one.ways
        assert len({way.split(": ", 1)[1] for way in one.ways}) > 1


SETTLED: dict[str, tuple[dict[str, Any], str]] = {
    "a tip of a line too young": ({"lines": (line(5, tip=None),)}, NO_CLABSI),
    "a tip beside a line that counts": (
        {"lines": (line(tip=None), line(id="line-2"))},
        CLABSI,
    ),
    "a tip of a midline": ({"lines": (line(kind="midline", tip=None),)}, NO_CLABSI),
    "a tip of an umbilical line": (
        {"lines": (line(kind="umbilical-venous", tip=None),)},
        CLABSI,
    ),
    "a first use of a line placed here": (
        {"lines": (line(first_access=None, access_is_told=False),)},
        CLABSI,
    ),
    "a first use up to which it was not used": (
        {
            "lines": (
                line(
                    -5, first_access=None, access_is_told=False, unused_until=at(5)
                ),
            )
        },
        NO_CLABSI,
    ),
    "a removal after the line was used long enough": (
        {"lines": (line(removal_is_told=False, first_access=at(1)), line(2, id="m"))},
        CLABSI,
    ),
    "stays without any line": ({"stays": (), "lines": ()}, NO_CLABSI),
    "a birth that changes nothing": ({"born": None}, CLABSI),
    "a tip on a day present on admission": (
        {
            "lines": (line(tip=None),),
            "stays": (WardStay("ward", True, at(5), None),),
        },
        NO_CLABSI,
    ),
    "a tip where an exclusion applies": (
        {
            "lines": (line(tip=None),),
            "conditions": (Dated("epidermolysis-bullosa", day(2)),),
        },
        NO_CLABSI,
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", SETTLED)
def test_a_fact_that_changes_nothing_is_not_asked_for(what: str) -> None:
    told, verdict = SETTLED[what]

    event = only(child(AUREUS, **told))

    assert event.verdict == verdict
    assert not [one for one in event.unknown if one.settles_clabsi]


def test_a_fact_that_changes_only_the_form_leaves_the_verdict() -> None:
    """R20: 20 mL/kg of stool, and nobody says what the child weighs."""
    timeline = child(
        blood("b", 20, "E. coli"),
        transplants=(Dated("allogeneic", day(-60)),),
        gut=(GutFinding(at(20), "stool", None, 300, None),),
    )
    event = only(timeline)

    assert (event.verdict, "type" in event.open) == (CLABSI, True)
    [unknown] = event.unknown
    assert not unknown.settles_clabsi
    assert unknown.named == "child: the mass on 2025-03-29, to judge the stool"


def test_a_port_placed_here_and_never_used_says_by_which_rule() -> None:
    """R8, remembered: it never becomes eligible; R4, found, makes placing access."""
    event = only(child(AUREUS, lines=(line(kind="port", first_access=None),)))

    assert event.verdict == NO_CLABSI
    assert "a port counts from its first access alone" in said(event)
    assert "R8" in event.rules()


@pytest.mark.parametrize(
    ("what", "verdict"),
    [
        ("pathogen", CLABSI),
        ("commensal", NO_CLABSI),
        ("not-of-blood", NO_CLABSI),
        ("Staphylococcus aureus", CLABSI),
        ("another name nobody knows", OPEN),
    ],
)
def test_what_a_person_says_of_a_name_settles_it(what: str, verdict: str) -> None:
    event = only(
        child(
            blood("b", 6, "Unheard Ofium"),
            settled=(SettledName("unheard  ofium", what),),
        )
    )

    assert event.verdict == verdict


def test_a_name_nobody_knows_may_be_no_organism_of_blood_at_all() -> None:
    """Two draws and a sign: a commensal or a pathogen would count, a virus would not."""
    event = of_blood(
        child(
            blood("b", 6, "Unheardofvirus"),
            blood("c", 7, "Unheardofvirus"),
            signs=CHILLS,
        )
    )

    assert event.verdict == OPEN


def test_two_unknown_facts_are_both_named_only_where_both_decide() -> None:
    one = line(tip=None)
    other = line(-5, id="line-2", first_access=None, access_is_told=False)
    both = only(child(AUREUS, lines=(one, other)))
    late = replace(other, removed=at(2), inserted=at(-5))

    assert {u.about for u in both.unknown} == {"line-1", "line-2"}
    assert {u.about for u in only(child(AUREUS, lines=(one, late))).unknown} == {
        "line-1"
    }


def test_an_open_field_is_told_from_one_that_is_null() -> None:
    event = of_blood(UNTOLD["the stays"][0])

    assert {"clabsi", "is_healthcare_associated", "location"} <= event.open
    assert "event_on" not in event.open


def test_what_was_not_worked_to_the_end_cannot_be_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One run of the two: what the other would say is not known."""
    timeline = child(AUREUS, blood("c", 8, "Unheardofvirus"))
    assert of_blood(timeline).verdict == CLABSI
    monkeypatch.setattr(runs, "MOST_RUNS", 1)

    event = of_blood(timeline)

    assert event.verdict == OPEN
    assert any("Unheardofvirus" in one.named for one in event.unknown)
