"""Each limit of the year on its last day in and its first day out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from tests.unit.core.outcomes.made import at, blood, child, day, line, only, types

from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.core.outcomes.timeline import (
    CellCount,
    CircuitDevice,
    Dated,
    GutFinding,
    WardStay,
)

PROTOCOL = protocol_year("2025")


@pytest.mark.parametrize(("on", "associated"), [(2, False), (3, True)])
def test_day_three_is_healthcare_associated(on: int, associated: bool) -> None:
    assert (
        only(child(blood("b", on, "S. aureus"))).is_healthcare_associated is associated
    )


@pytest.mark.parametrize(
    ("on", "words"),
    [
        (-2, "hospital day -2: present on admission"),
        (-1, "hospital day -1: present on admission"),
        (-3, "lies in no admission"),
    ],
)
def test_two_days_before_admission_are_present_on_it(on: int, words: str) -> None:
    event = only(child(blood("b", on, "S. aureus"), lines=()))

    assert not event.is_healthcare_associated
    assert any(words in step.text for step in event.steps)


@pytest.mark.parametrize(("on", "location"), [(9, "ward"), (10, None)])
def test_the_day_after_discharge_is_the_ward_s(on: int, location: str | None) -> None:
    stays = (WardStay("ward", True, at(1), at(8)),)

    assert only(child(blood("b", on, "S. aureus"), stays=stays)).location == location


@pytest.mark.parametrize(
    ("low", "kind"),
    [(7, "MBI-LCBI-1"), (6, "LCBI-1"), (13, "MBI-LCBI-1"), (14, "LCBI-1")],
)
def test_neutropenia_is_looked_for_three_days_each_way(low: int, kind: str) -> None:
    counts = (CellCount(at(10), "anc", 100), CellCount(at(low), "wbc", 100))

    assert only(child(blood("b", 10, "E. coli"), counts=counts)).type == kind


def test_two_counts_of_one_day_are_one_day() -> None:
    counts = (CellCount(at(10), "anc", 100), CellCount(at(10), "wbc", 100))

    assert only(child(blood("b", 10, "E. coli"), counts=counts)).type == "LCBI-1"


@pytest.mark.parametrize(
    ("kind", "on", "expected"),
    [
        ("allogeneic", date(2024, 3, 29), "MBI-LCBI-1"),
        ("allogeneic", date(2024, 3, 28), "LCBI-1"),
        ("allogeneic", date(2025, 3, 30), "LCBI-1"),
        ("autologous", date(2025, 1, 1), "LCBI-1"),
    ],
)
def test_a_transplant_counts_for_a_year(kind: str, on: date, expected: str) -> None:
    timeline = child(
        blood("b", 20, "E. coli"),
        transplants=(Dated(kind, on),),
        gut=(GutFinding(at(20), "gvhd", 3, None, None),),
    )

    assert day(20) == date(2025, 3, 29)
    assert only(timeline).type == expected


@pytest.mark.parametrize(
    ("born", "volume", "kind"),
    [
        (date(2007, 3, 29), 999, "LCBI-1"),
        (date(2007, 3, 29), 1000, "MBI-LCBI-1"),
        (date(2007, 3, 30), 1000, "LCBI-1"),
        (date(2007, 3, 30), 1200, "MBI-LCBI-1"),
    ],
)
def test_from_eighteen_years_the_volume_alone_counts(
    born: date, volume: float, kind: str
) -> None:
    timeline = child(
        blood("b", 20, "E. coli"),
        born=born,
        transplants=(Dated("allogeneic", day(-60)),),
        gut=(GutFinding(at(20), "stool", None, volume, 60),),
    )

    assert only(timeline).type == kind


def test_stool_without_a_mass_is_asked_about() -> None:
    timeline = child(
        blood("b", 20, "E. coli"),
        transplants=(Dated("allogeneic", day(-60)),),
        gut=(GutFinding(at(20), "stool", None, 900, None),),
    )
    event = only(timeline)

    assert event.type == "LCBI-1"
    assert any("Not known: the mass" in step.words for step in event.steps)


@pytest.mark.parametrize(("end", "excluded"), [(5, True), (4, False)])
def test_a_circuit_out_the_day_before_still_excludes(end: int, excluded: bool) -> None:
    device = CircuitDevice("ecmo", at(1), at(end))
    event = only(child(blood("b", 6, "S. aureus"), devices=(device,)))

    assert bool(event.exclusions) is excluded


@pytest.mark.parametrize(("on", "excluded"), [(6, True), (7, False)])
def test_group_b_streptococcus_is_left_out_for_six_days(
    on: int, excluded: bool
) -> None:
    timeline = child(blood("b", on, "GBS"), born=day(1))

    assert bool(only(timeline).exclusions) is excluded


@pytest.mark.parametrize(
    ("cultured", "kind"), [(7, "LCBI-1"), (8, "none"), (11, "none"), (12, "LCBI-1")]
)
def test_a_culture_near_it_overrules_a_molecular_test(cultured: int, kind: str) -> None:
    found = replace(blood("m", 10, "Candida albicans"), method="molecular")
    timeline = child(found, blood("c", cultured))

    assert only(timeline).type == kind


def test_a_molecular_result_never_pairs() -> None:
    first = replace(blood("m", 10, "CoNS"), method="molecular")
    timeline = child(first, blood("c", 14, "CoNS"))

    assert types(timeline) == ["none", "none"]


@pytest.mark.parametrize(("removed", "clabsi"), [(5, True), (4, False)])
def test_the_day_after_removal_counts(removed: int, clabsi: bool) -> None:
    timeline = child(blood("b", 6, "S. aureus"), lines=(line(1, removed),))

    assert only(timeline).is_clabsi is clabsi


def test_a_line_out_on_line_day_two_never_counts() -> None:
    timeline = child(blood("b", 6, "S. aureus"), lines=(line(4, 5),))

    assert not only(timeline).is_clabsi


def test_every_limit_of_the_determination_is_an_edge_of_some_answer() -> None:
    """What stands in the data is used: no limit may be a dead letter."""
    elsewhere = {
        "counts-within-percent", "counts-months", "sample-least-line-days",
        "two-names-years",
    }  # fmt: skip
    used = set()

    class Noting(dict):  # type: ignore[type-arg]
        def __getitem__(self, key: str) -> float:
            used.add(key)
            return float(super().__getitem__(key))

    noting = replace(PROTOCOL, limits=Noting(PROTOCOL.limits))
    everything = child(
        blood("b0", 10, "E. coli"),
        replace(blood("m", 12, "Candida albicans"), method="molecular"),
        blood("b1", 26, "CoNS"),
        blood("b2", 27, "CoNS"),
        blood("b3", 45, "GBS"),
        born=day(-200),
        counts=(CellCount(at(10), "anc", 100),),
        transplants=(Dated("allogeneic", day(-60)),),
        gut=(
            GutFinding(at(8), "stool", None, 100, 5),
            GutFinding(at(8), "gvhd", 1, None, None),
        ),
        devices=(CircuitDevice("ecmo", at(5), None),),
        signs=(),
    )
    site = replace(everything, other_infections=_site())
    for timeline in (everything, site, _with_cold(everything), _replaced(everything)):
        determine(timeline, noting)

    assert set(PROTOCOL.limits) - used - elsewhere == set()


def _site():  # type: ignore[no-untyped-def]
    from lumenkeep.core.outcomes.timeline import OtherInfection

    return (OtherInfection("ssi", day(30), None, (), blood_is_element=False),)


def _with_cold(timeline):  # type: ignore[no-untyped-def]
    from lumenkeep.core.outcomes.timeline import Sign

    return replace(timeline, signs=(Sign(at(26), "temperature", 35.0),))


def _replaced(timeline):  # type: ignore[no-untyped-def]
    second = replace(line(7), id="line-2")
    assert second.inserted is not None
    assert second.inserted.day - timedelta(days=2) == day(5)
    return replace(timeline, lines=(line(1, 5), second))
