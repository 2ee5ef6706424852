"""Tests written because a change of the code went unnoticed without them."""

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

from lumenkeep.core.outcomes.counting import (
    DayCount,
    compare_counts,
)
from lumenkeep.core.outcomes.daily_count import ChildThere, LineThere, count_children
from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.timeline import (
    Dated,
    GutFinding,
    OtherInfection,
    Sign,
    WardStay,
)

AUREUS = blood("b", 6, "S. aureus")


def verdict(*lines: object) -> tuple[int | None, bool]:
    event = only(child(AUREUS, lines=lines))
    return event.line_day, event.is_clabsi


def test_a_line_out_on_line_day_three_counts_the_day_after() -> None:
    assert verdict(line(3, 5)) == (None, True)


def test_a_line_in_for_one_day_begins_the_count() -> None:
    assert verdict(line(2, 2), line(3, id="line-2")) == (5, True)


def test_a_second_line_taken_out_leaves_the_first_one_s_count() -> None:
    assert verdict(line(1), line(2, 3, id="line-2")) == (6, True)


def test_without_a_stated_access_a_placing_in_the_stay_counts_but_for_ports() -> None:
    assert verdict(line(2, first_access=None)) == (5, True)
    assert verdict(line(2, first_access=None, kind="port")) == (None, False)
    assert verdict(line(-5, first_access=None)) == (None, False)
    assert verdict(line(inserted=None, first_access=None)) == (None, False)


def test_a_port_not_yet_accessed_bridges_no_gap() -> None:
    port = line(1, kind="port", first_access=at(5), id="line-2")

    assert verdict(line(1, 2), port) == (2, False)


def test_a_picc_placed_in_the_gap_bridges_it() -> None:
    later = line(4, first_access=at(5), id="line-2")

    assert verdict(line(1, 3), later) == (6, True)


def test_whether_a_line_was_accessed_is_asked_where_it_was_left_out() -> None:
    unsaid = line(-5, first_access=None, access_is_told=False)
    event = only(child(AUREUS, lines=(unsaid,)))

    assert "Not known: whether line line-1 was accessed in this stay." in said(event)


def test_access_on_day_one_assumes_nothing() -> None:
    assert "hospital day 1 is taken" not in said(only(child(AUREUS)))


def test_what_would_have_to_be_different_is_dated() -> None:
    early = only(child(AUREUS, lines=(line(5),)))

    assert f"line-day 1 had been on or before {day(4)}, the line would" in said(early)
    assert f"line-day 1 had been after {day(4)}, no line" in said(only(child(AUREUS)))


@pytest.mark.parametrize(("back_on", "joins"), [(9, "b1"), (10, None)])
def test_a_readmission_has_it_on_admission_from_day_minus_two(
    back_on: int, joins: str | None
) -> None:
    timeline = child(
        blood("b1", 7, "S. aureus"),
        blood("b2", 13, "E. coli"),
        stays=(
            WardStay("ward", True, at(1), at(6)),
            WardStay("other", True, at(back_on), None),
        ),
    )

    assert determine(timeline, PROTOCOL)[1].added_to == joins


@pytest.mark.parametrize(("on", "kind"), [(11, "LCBI-1"), (12, "LCBI-2")])
def test_a_pathogen_renames_a_pair_only_inside_its_window(on: int, kind: str) -> None:
    timeline = child(
        blood("a", 8, "CoNS"),
        blood("b", 9, "CoNS"),
        blood("c", on, "S. aureus"),
        signs=(Sign(at(8), "chills", None),),
    )

    assert determine(timeline, PROTOCOL)[0].type == kind


def test_a_second_commensal_pair_renames_nothing() -> None:
    timeline = child(
        blood("a", 6, "E. coli"),
        blood("b", 8, "CoNS"),
        blood("c", 9, "CoNS"),
        signs=(Sign(at(8), "chills", None),),
    )
    first, second = determine(timeline, PROTOCOL)

    assert (first.type, first.organism) == ("LCBI-1", "Escherichia coli")
    assert "Re-typed" not in said(first)
    assert second.added_to == "a"


@pytest.mark.parametrize(
    ("volume", "mass", "kind"), [(1000, 12, "MBI-LCBI-1"), (300, 12, "LCBI-1")]
)
def test_stool_without_a_birthday_counts_where_both_limits_agree(
    volume: float, mass: float, kind: str
) -> None:
    timeline = child(
        blood("b", 20, "E. coli"),
        born=None,
        transplants=(Dated("allogeneic", day(-60)),),
        gut=(GutFinding(at(20), "stool", None, volume, mass),),
    )

    assert only(timeline).type == kind


def elsewhere(kind: str, *organisms: str, window: bool = True) -> OtherInfection:
    days = (day(3), day(9)) if window else None
    return OtherInfection(kind, day(6), days, organisms, blood_is_element=False)


@pytest.mark.parametrize(("on", "kind"), [(40, "secondary"), (46, "LCBI-1")])
def test_endocarditis_takes_blood_to_the_end_of_the_stay(on: int, kind: str) -> None:
    timeline = child(
        blood("b", on, "S. aureus"),
        stays=(WardStay("ward", True, at(1), at(45)),),
        other_infections=(elsewhere("endocarditis", "S. aureus"),),
    )

    assert only(timeline).type == kind


@pytest.mark.parametrize(
    ("grown", "on", "kinds"),
    [
        (("E. coli",), (7,), ["secondary"]),
        (("E. coli",), (20,), ["LCBI-1"]),
        (("CoNS",), (7,), ["none"]),
        (("CoNS",), (7, 8), ["secondary", "secondary"]),
    ],
)
def test_necrotising_enterocolitis_takes_a_pathogen_or_a_pair(
    grown: tuple[str, ...], on: tuple[int, ...], kinds: list[str]
) -> None:
    specimens = [blood(f"b{n}", n, *grown) for n in on]
    timeline = child(*specimens, other_infections=(elsewhere("nec"),))

    assert [event.type for event in determine(timeline, PROTOCOL)] == kinds


def test_a_ventilator_event_is_a_person_s_question() -> None:
    event = only(child(AUREUS, other_infections=(elsewhere("vae", "S. aureus"),)))

    assert event.type == "LCBI-1"
    assert "Not known: whether this belongs to the ventilator event" in said(event)


@pytest.mark.parametrize("name", ["Candida albicans", "C. glabrata", "yeast"])
def test_no_yeast_of_the_urine_takes_candidaemia(name: str) -> None:
    timeline = child(
        blood("b", 8, "Candida albicans"), other_infections=(elsewhere("uti", name),)
    )

    assert only(timeline).type == "LCBI-1"


@pytest.mark.parametrize(
    ("a", "b", "answer"),
    [
        ("Klebsiella oxytoca", "Klebsiella rara", "ask"),
        ("Klebsiella rara", "Klebsiella rara", "match"),
        ("Klebsiella rara", "Serratia rara", "no match"),
        ("yeast", "S. aureus", "no match"),
        ("yeast", "unheard of", "ask"),
        ("yeast", "yeast", "match"),
        ("viridans streptococci", "Streptococcus mitis/oralis", "match"),
        ("CoNS", "beta-haemolytic streptococcus", "no match"),
        ("viridans streptococci", "alpha-haemolytic streptococcus", "ask"),
        ("E. cloacae complex", "Enterobacter sp.", "match"),
    ],
)
def test_names_less_exact_than_species(a: str, b: str, answer: str) -> None:
    first, second = PROTOCOL.names.taxon(a), PROTOCOL.names.taxon(b)

    assert PROTOCOL.match(first, second) == answer
    assert PROTOCOL.match(second, first) == answer


@pytest.mark.parametrize(
    ("name", "role"),
    [
        ("Enterococcus sp.", "pathogen"),
        ("Streptococcus sp.", "ask"),
        ("Staphylococcus novum", "ask"),
        ("Klebsiella rara", "pathogen"),
        ("diphtheroids", "commensal"),
        ("Streptococcus milleri", "commensal"),
        ("S. bovis", "ask"),
    ],
)
def test_roles_of_names_less_exact_than_species(name: str, role: str) -> None:
    assert PROTOCOL.lists.role(PROTOCOL.names.taxon(name)) == role


def test_a_midline_or_no_line_is_no_line_day() -> None:
    midline = LineThere("m", "midline", is_central=False, entry=2)
    picc = LineThere("p", "picc", is_central=True, entry=3)
    told = [(midline,), (), (picc,)]
    children = [ChildThere("c", 1, None, lines) for lines in told]

    assert count_children(day(5), children, PROTOCOL) == DayCount(
        day(5), 3, 1, temporary=1
    )


def test_five_percent_is_still_near_and_no_count_is_not() -> None:
    found = compare_counts([(100, 105), (100, 106), (100, 95), (0, 3)], PROTOCOL)

    assert found.is_near == (True, False, True, False)
    assert day(2) - day(1) == timedelta(days=1)


@pytest.mark.parametrize("name", ["Aeromonas hydrophila", "Elizabethkingia anophelis"])
def test_what_nobody_looked_at_is_no_pathogen(name: str) -> None:
    assert PROTOCOL.lists.role(PROTOCOL.names.taxon(name)) == "ask"


@pytest.mark.parametrize(
    ("on", "kind"), [(5, "none"), (6, "LCBI-2"), (12, "LCBI-2"), (13, "none")]
)
def test_a_sign_counts_on_the_first_and_last_day_of_the_window(
    on: int, kind: str
) -> None:
    timeline = child(
        blood("a", 9, "CoNS"),
        blood("b", 10, "CoNS"),
        signs=(Sign(at(on), "hypotension", None),),
    )

    assert only(timeline).type == kind


def test_a_pair_on_the_day_of_an_event_joins_it() -> None:
    timeline = child(
        blood("a", 6, "S. aureus", draw="1"),
        blood("b", 6, "CoNS", draw="2"),
        blood("c", 6, "CoNS", draw="3"),
        signs=(Sign(at(6), "chills", None),),
    )
    first, second = determine(timeline, PROTOCOL)

    assert (first.type, second.added_to) == ("LCBI-1", "a")
    assert second.specimens == ("b", "c")
