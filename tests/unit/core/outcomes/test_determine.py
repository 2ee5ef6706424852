"""What the worked cases leave open: edges, missing facts, and open points worked both ways."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.unit.core.outcomes.made import at, blood, child, day, line, only, said

from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.protocol_year import protocol_year, shipped_years
from lumenkeep.core.outcomes.timeline import (
    CellCount,
    CircuitDevice,
    Dated,
    GutFinding,
    Noted,
    OtherInfection,
    Sign,
    WardStay,
)

PROTOCOL = protocol_year("2025")


def test_both_shipped_years_can_be_asked() -> None:
    assert shipped_years() == ["2024", "2025"]
    timeline = child(blood("b", 6, "S. aureus"))
    assert determine(timeline, protocol_year("2024")) == determine(timeline, PROTOCOL)


def test_where_the_ways_differ_the_answer_asks() -> None:
    event = only(child(blood("b", 6, "Staphylococcus lugdunensis")))

    assert (event.type, event.is_clabsi) == ("none", False)
    assert "Not known: whether this counts as a common commensal" in said(event)
    assert "it would be LCBI-1, CLABSI" in said(event)


def test_where_both_ways_agree_that_is_the_answer() -> None:
    wound = OtherInfection(
        "wound",
        day(6),
        (day(3), day(9)),
        ("Staphylococcus lugdunensis",),
        blood_is_element=False,
    )
    timeline = child(
        blood("b", 6, "Staphylococcus lugdunensis"), other_infections=(wound,)
    )

    assert only(timeline).type == "secondary"


def test_an_unknown_name_never_makes_an_infection() -> None:
    event = only(child(blood("b", 6, "something unheard of")))

    assert (event.type, event.is_clabsi) == ("none", False)


def test_a_missing_tip_is_asked_for() -> None:
    event = only(child(blood("b", 6, "S. aureus"), lines=(line(tip=None),)))

    assert not event.is_clabsi
    assert "Not known: where the tip of line line-1 lies." in said(event)


def test_a_missing_day_of_birth_is_asked_for() -> None:
    timeline = child(
        blood("a", 6, "CoNS"),
        blood("b", 7, "CoNS"),
        signs=(Sign(at(6), "apnoea", None),),
        born=None,
    )

    assert only(timeline).type == "none"
    assert "Not known: on which day the child was born" in said(only(timeline))


@pytest.mark.parametrize(("birthday_in", "kind"), [(0, "LCBI-3"), (-1, "none")])
def test_the_first_birthday_still_counts(birthday_in: int, kind: str) -> None:
    event_on = day(8)
    born = date(event_on.year - 1, event_on.month, event_on.day)
    timeline = child(
        blood("a", 9, "CoNS"),
        blood("b", 10, "CoNS"),
        signs=(Sign(at(8), "apnoea", None),),
        born=born + timedelta(days=birthday_in),
    )

    assert only(timeline).type == kind


@pytest.mark.parametrize(
    ("celsius", "kind"), [(38.0, "none"), (38.1, "LCBI-2"), (35.9, "none")]
)
def test_fever_is_above_the_limit(celsius: float, kind: str) -> None:
    timeline = child(
        blood("a", 9, "CoNS"),
        blood("b", 10, "CoNS"),
        signs=(Sign(at(9), "temperature", celsius),),
    )

    assert only(timeline).type == kind


@pytest.mark.parametrize(
    ("celsius", "kind"), [(36.0, "none"), (35.9, "LCBI-3"), (38.1, "LCBI-2")]
)
def test_an_infant_may_be_cold(celsius: float, kind: str) -> None:
    timeline = child(
        blood("a", 9, "CoNS"),
        blood("b", 10, "CoNS"),
        signs=(Sign(at(9), "temperature", celsius),),
        born=day(-60),
    )

    assert only(timeline).type == kind


def test_bottles_without_a_draw_are_one_until_somebody_says_otherwise() -> None:
    timeline = child(
        blood("a", 9, "CoNS", draw=None),
        blood("b", 9, "CoNS", draw=None),
        signs=(Sign(at(9), "chills", None),),
    )
    event = only(timeline)

    assert event.type == "none"
    assert "Not known: whether these specimens were separate draws." in said(event)


def test_a_timeframe_ends_with_the_day_after_discharge() -> None:
    timeline = child(
        blood("b1", 5, "S. aureus"),
        blood("b2", 13, "E. coli"),
        stays=(
            WardStay("ward", True, at(1), at(8)),
            WardStay("ward", True, at(12), None),
        ),
    )
    first, second = determine(timeline, PROTOCOL)

    assert (first.is_clabsi, second.added_to) == (True, None)
    assert not second.is_healthcare_associated


def test_a_readmission_carries_the_timeframe_it_had_on_admission() -> None:
    timeline = child(
        blood("b1", 7, "S. aureus"),
        blood("b2", 12, "E. coli"),
        stays=(
            WardStay("ward", True, at(1), at(6)),
            WardStay("other", True, at(7), None),
        ),
    )
    first, second = determine(timeline, PROTOCOL)

    assert (first.location, second.added_to) == ("ward", "b1")


def test_theatre_between_two_wards_is_one_admission() -> None:
    timeline = child(
        blood("b", 9, "S. aureus"),
        stays=(
            WardStay("ward", True, at(1), at(4)),
            WardStay("theatre", False, at(4), at(5)),
            WardStay("PICU", True, at(5), None),
        ),
    )

    assert (only(timeline).line_day, only(timeline).location) == (9, "PICU")


def test_without_a_stay_the_day_of_admission_is_asked_for() -> None:
    event = only(child(blood("b", 6, "S. aureus"), stays=()))

    assert (event.type, event.is_clabsi, event.location) == ("LCBI-1", False, None)
    assert "Not known: on which day the child came to an inpatient bed." in said(event)


@pytest.mark.parametrize(
    ("kind", "start", "end", "excluded"),
    [
        ("ecmo", 4, None, True),
        ("vad", 4, 6, True),
        ("ecmo", 5, None, False),
        ("ecmo", 2, 5, True),
        ("ecmo", 4, 5, False),
        ("ecmo", 1, 4, False),
    ],
)
def test_a_circuit_excludes_after_two_days_while_in(
    kind: str, start: int, end: int | None, excluded: bool
) -> None:
    device = CircuitDevice(kind, at(start), at(end) if end else None)
    event = only(child(blood("b", 6, "S. aureus"), devices=(device,)))

    assert (kind in event.exclusions) is excluded
    assert event.is_clabsi is not excluded


def test_observed_self_injection_inside_the_window_excludes() -> None:
    noted = Noted(at(8), "self-injection", None, ())
    event = only(child(blood("b", 6, "S. aureus"), noted=(noted,)))

    assert event.exclusions == ("self-injection",)


def test_pus_with_another_organism_excludes_nothing() -> None:
    noted = Noted(at(6), "pus", "midline", ("E. coli",))

    assert only(child(blood("b", 6, "S. aureus"), noted=(noted,))).is_clabsi


def test_a_condition_documented_elsewhere_is_asked_about() -> None:
    condition = Dated("epidermolysis-bullosa", day(-300))
    event = only(child(blood("b", 6, "S. aureus"), conditions=(condition,)))

    assert event.is_clabsi
    assert "Not known: whether epidermolysis-bullosa was documented" in said(event)


@pytest.mark.parametrize(
    ("second", "kind"), [(499, "MBI-LCBI-1"), (500, "LCBI-1"), (900, "LCBI-1")]
)
def test_neutropenia_is_below_the_limit_on_two_days(second: int, kind: str) -> None:
    counts = (CellCount(at(5), "anc", 100), CellCount(at(9), "wbc", second))

    assert only(child(blood("b", 6, "E. coli"), counts=counts)).type == kind


@pytest.mark.parametrize(
    ("stool_on", "volume", "kind"),
    [
        (14, 240, "MBI-LCBI-1"),
        (14, 239, "LCBI-1"),
        (13, 240, "MBI-LCBI-1"),
        (12, 240, "LCBI-1"),
        (21, 240, "LCBI-1"),
    ],
)
def test_diarrhoea_of_the_stated_amount_begun_within_a_week(
    stool_on: int, volume: float, kind: str
) -> None:
    timeline = child(
        blood("b", 20, "Enterococcus faecium"),
        transplants=(Dated("allogeneic", day(-100)),),
        gut=(GutFinding(at(stool_on), "stool", None, volume, 12),),
    )

    assert only(timeline).type == kind


@pytest.mark.parametrize(("grade", "kind"), [(3, "MBI-LCBI-1"), (2, "LCBI-1")])
def test_gut_disease_of_a_high_grade(grade: int, kind: str) -> None:
    timeline = child(
        blood("b", 20, "Candida albicans"),
        transplants=(Dated("allogeneic", day(-100)),),
        gut=(GutFinding(at(2), "gvhd", grade, None, None),),
    )

    assert only(timeline).type == kind


def test_viridans_beside_a_gut_organism_keeps_the_barrier_form() -> None:
    counts = (CellCount(at(5), "anc", 100), CellCount(at(6), "anc", 100))
    timeline = child(blood("b", 6, "E. coli", "viridans streptococci"), counts=counts)

    assert only(timeline).type == "MBI-LCBI-1"


def test_a_surgical_site_has_a_period_of_its_own() -> None:
    site = OtherInfection("ssi", day(10), None, ("S. aureus",), blood_is_element=False)

    def kind(on: int) -> str:
        return only(child(blood("b", on, "S. aureus"), other_infections=(site,))).type

    assert [kind(on) for on in (6, 7, 23, 24)] == [
        "LCBI-1",
        "secondary",
        "secondary",
        "LCBI-1",
    ]


def test_a_pathogen_the_day_after_a_pair_joins_it_and_names_it() -> None:
    timeline = child(
        blood("a", 8, "CoNS"),
        blood("b", 9, "S. epidermidis"),
        blood("c", 9, "S. aureus", draw="b"),
        signs=(Sign(at(8), "chills", None),),
    )
    first, second = determine(timeline, PROTOCOL)

    assert (first.type, first.organism) == ("LCBI-1", "Staphylococcus aureus")
    assert second.added_to == "a"


def test_a_port_placed_in_the_stay_counts_from_its_access() -> None:
    port = line(1, kind="implanted-port", first_access=at(5))
    event = only(child(blood("b", 6, "S. aureus"), lines=(port,)))

    assert (event.line_day, event.is_clabsi) == (2, False)


def test_a_line_of_unknown_age_counts_from_its_access() -> None:
    event = only(child(blood("b", 6, "S. aureus"), lines=(line(inserted=None),)))

    assert (event.line_day, event.is_clabsi) == (6, True)


def test_access_before_admission_is_taken_as_day_one_and_said() -> None:
    timeline = child(blood("b", 6, "S. aureus"), lines=(line(-9),))

    assert only(timeline).line_day == 6
    assert "hospital day 1 is taken" in said(only(timeline))
