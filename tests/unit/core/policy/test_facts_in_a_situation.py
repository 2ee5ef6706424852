"""What a situation makes of a case: spans, unknowns, the ward's own calendar, words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from math import inf
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from lumenkeep.core.model import (
    Birth,
    CalendarSpan,
    Case,
    Child,
    Dressing,
    Elapsed,
    Finding,
    Gestation,
    Line,
    People,
    Weight,
)
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live
from lumenkeep.core.policy.situation import Situation

BORN = datetime(2026, 1, 10, 10, 0, tzinfo=UTC)
AT = BORN + timedelta(days=9)
MINUTE = timedelta(minutes=1)


def situation(
    child: Child | None = None, line: Line | None = None, at: Any = AT
) -> Situation:
    return Situation(Case(child or Child(), line or Line(), People(), UTC), at)


def test_what_nobody_charted_may_be_anything() -> None:
    known = situation()

    assert (known.mass_low, known.mass_high) == (0, inf)
    assert (known.gestation_low, known.gestation_high) == (0, inf)
    assert (known.age_low, known.age_high) == (None, None)
    assert (known.born_earliest, known.born_latest) == (None, None)
    assert known.weighed is None
    assert known.findings is None
    assert known.postmenstrual_span() == (0, inf)
    assert known.reaches(Elapsed(60)) is None
    assert known.reaches(CalendarSpan(2, 0)) is None
    assert known.age_against(Elapsed(60)) is None


def test_the_last_weighing_before_the_instant_counts() -> None:
    weights = (Weight(BORN, 900), Weight(AT, 1000), Weight(AT + MINUTE, 1100))
    known = situation(Child(weights=weights))

    assert (known.mass_low, known.mass_high) == (1000, 1000)
    assert known.weighed == weights[1]


def test_a_postmenstrual_age_is_gestation_and_age() -> None:
    born, gestation = Birth.at(BORN), Gestation(196, 202)

    both = situation(Child(born=born, gestation_at_birth=gestation))
    half = situation(
        Child(born=born, gestation_at_birth=gestation), at=BORN + timedelta(hours=12)
    )
    no_birth = situation(Child(gestation_at_birth=gestation))
    no_gestation = situation(Child(born=born))

    assert both.postmenstrual_span() == (205, 211)
    assert half.postmenstrual_span() == (196.5, 202.5)
    assert no_birth.postmenstrual_span() == (196, inf)
    assert no_gestation.postmenstrual_span() == (9, inf)


def test_months_are_counted_on_the_wards_calendar() -> None:
    """Born on the evening of 31 December in New York, which is 1 January in UTC."""
    zone = ZoneInfo("America/New_York")
    born = datetime(2025, 12, 31, 23, 30, tzinfo=zone).astimezone(UTC)
    child = Child(born=Birth.at(born))
    end = datetime(2026, 2, 28, 23, 30, tzinfo=zone).astimezone(UTC)
    before = Situation(Case(child, Line(), People(), zone), end - MINUTE)
    then = Situation(Case(child, Line(), People(), zone), end)

    assert before.zone is zone
    assert then.reaches(CalendarSpan(2, 0)) == (end, end)
    assert then.reaches(CalendarSpan(2, 0)) == (end, end)
    assert before.age_against(CalendarSpan(2, 0)) == (False, False)
    assert then.age_against(CalendarSpan(2, 0)) == (True, True)


def test_a_birth_date_has_two_ends_on_the_wards_calendar() -> None:
    zone = ZoneInfo("Pacific/Auckland")
    born = Birth.on(datetime(2025, 12, 31, tzinfo=UTC).date(), zone)
    known = Situation(Case(Child(born=born), Line(), People(), zone), AT)
    first = datetime(2026, 2, 28, tzinfo=zone).astimezone(UTC)
    last = datetime(2026, 3, 1, tzinfo=zone).astimezone(UTC)

    assert known.reaches(CalendarSpan(2, 0)) == (first, last)
    assert known.later(first).age_against(CalendarSpan(2, 0)) == (False, True)
    assert known.later(last).age_against(CalendarSpan(2, 0)) == (True, True)
    assert known.reaches(Elapsed(3600)) == (
        born.earliest + timedelta(hours=1),
        born.latest + timedelta(hours=1),
    )


@pytest.mark.parametrize(
    "span", [CalendarSpan(2, 0), Elapsed(3600), CalendarSpan(0, 3)]
)
def test_a_limit_long_past_is_reached_for_sure(span: Elapsed | CalendarSpan) -> None:
    known = situation(Child(born=Birth.at(BORN)), at=BORN + timedelta(days=900))

    assert known.age_against(span) == (True, True)


def test_later_only_age_moves() -> None:
    child = Child(
        born=Birth.at(BORN), weights=(Weight(AT, 900),), skin_at_site="intact"
    )
    known = situation(child)
    known.agent = "povidone-iodine"
    later = known.later(AT + timedelta(days=1))

    assert (later.age_low, later.age_high) == (timedelta(days=10), timedelta(days=10))
    assert (later.at, known.at) == (AT + timedelta(days=1), AT)
    assert (known.age_low, known.age_high) == (timedelta(days=9), timedelta(days=9))
    assert (later.mass_low, later.skin_at_site) == (900, "intact")
    assert later.agent == "povidone-iodine"


FULL = situation(
    Child(
        born=Birth.at(BORN),
        gestation_at_birth=Gestation(195, 195),
        weights=(Weight(AT, 780),),
        sensitivities=frozenset({"latex", "iodine"}),
        skin_at_site="intact",
        unit="ward",
    ),
    Line(
        kind="picc",
        site="femoral",
        lumens=2,
        dressing=Dressing(findings=(Finding("loose"), Finding("damp"))),
    ),
)


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        ("age", "9 days"),
        ("gestation_at_birth", "born at 27w6d"),
        ("mass", "780 g"),
        ("postmenstrual_age", "29w1d"),
        ("sensitivities", "iodine, latex"),
        ("findings", "damp, loose"),
        ("skin_at_site", "intact"),
        ("unit", "ward"),
        ("site", "femoral"),
        ("line_kind", "picc"),
        ("lumens", "2"),
        ("agent", None),
    ],
)
def test_a_known_fact_in_words(fact: str, words: str | None) -> None:
    assert FULL.value_in_words(fact) == words
    assert situation().value_in_words(fact) is None


def test_an_age_by_the_birth_date_says_so() -> None:
    known = situation(Child(born=Birth.on(BORN.date(), UTC)))
    same_day = situation(Child(born=Birth.on(AT.date(), UTC)))

    assert known.value_in_words("age") == "about 8 days, time of birth not known"
    assert same_day.value_in_words("age") == "about 0 minutes, time of birth not known"


def test_asked_and_none_is_told_from_never_asked() -> None:
    asked = situation(Child(sensitivities=frozenset()))

    assert asked.value_in_words("sensitivities") == "none"
    assert situation().value_in_words("sensitivities") is None


def test_a_gestation_alone_gives_no_postmenstrual_age_in_words() -> None:
    gestation = Gestation(195, 195)

    assert (
        situation(Child(gestation_at_birth=gestation)).value_in_words(
            "postmenstrual_age"
        )
        is None
    )
    assert (
        situation(Child(born=Birth.at(BORN))).value_in_words("postmenstrual_age")
        is None
    )


def test_every_open_row_tells_what_would_settle_it() -> None:
    mass = live(Comparison("mass", "below", "n"), 1000)
    site = live(Comparison("site", "is", None, ("femoral",)), None)
    unit = live(Comparison("unit", "is", None, ("ward",)), None)
    rule = LiveWhen(((mass, site), (unit,)))

    assert [c.fact for c in rule.undecided(situation())] == ["mass", "site", "unit"]


def test_the_later_end_of_a_birth_date_keeps_the_wards_calendar() -> None:
    """The 31st in Auckland begins on the 30th in UTC; February has neither."""
    zone = ZoneInfo("Pacific/Auckland")
    born = Birth.on(datetime(2025, 12, 30, tzinfo=UTC).date(), zone)
    known = Situation(Case(Child(born=born), Line(), People(), zone), AT)
    end = datetime(2026, 2, 28, tzinfo=zone).astimezone(UTC)

    assert known.reaches(CalendarSpan(2, 0)) == (end, end)
