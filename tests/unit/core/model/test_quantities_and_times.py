"""Quantities and spans as people read them, and the weighing that counts."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lumenkeep.core.model import (
    NOT_GIVEN,
    CalendarSpan,
    Child,
    Elapsed,
    Gestation,
    Span,
    Unknown,
    Weight,
    age_in_words,
    grams_in_words,
    is_known,
    known_or_none,
    mass_at,
    weeks_and_days,
)
from lumenkeep.core.model.reading import Reader, closest, shown
from lumenkeep.errors import Fault

AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("age", "words"),
    [
        (timedelta(minutes=-1), "not yet born"),
        (timedelta(), "0 minutes"),
        (timedelta(minutes=1), "1 minute"),
        (timedelta(hours=5, minutes=7), "5 hours"),
        (timedelta(days=1, hours=23), "47 hours"),
        (timedelta(days=6, hours=23, minutes=59), "6 days"),
        (timedelta(days=13, hours=23), "13 days"),
        (timedelta(days=14), "2 weeks"),
        (timedelta(days=40), "5 weeks 5 days"),
        (timedelta(days=200), "6 months"),
        (timedelta(days=6 * 366), "6 years"),
    ],
)
def test_an_age_is_told_in_the_units_a_colleague_would_use(
    age: timedelta, words: str
) -> None:
    assert age_in_words(age.total_seconds()) == words


@pytest.mark.parametrize(
    ("span", "words", "hours"),
    [
        (Elapsed(168 * 3600), "7 × 24 h", 168),
        (Elapsed(96 * 3600), "4 × 24 h", 96),
        (Elapsed(24 * 3600), "24 h", 24),
        (Elapsed(90 * 60), "90 min", 1.5),
        (Elapsed(30), "30 s", 30 / 3600),
        (CalendarSpan(0, 1), "1 day", 24),
        (CalendarSpan(0, 7), "7 days", 168),
        (CalendarSpan(1, 0), "1 calendar month", 720),
        (CalendarSpan(2, 0), "2 calendar months", 1440),
        (CalendarSpan(12, 0), "1 year", 8640),
        (CalendarSpan(216, 0), "18 years", 155520),
        (CalendarSpan(14, 3), "1 year and 2 calendar months and 3 days", 10152),
    ],
)
def test_a_span_says_which_kind_it_is(span: Span, words: str, hours: float) -> None:
    assert str(span) == words
    assert span.nominal_hours() == hours


@pytest.mark.parametrize("text", ["27w3d", "27w", "0w0d", "42w6d"])
def test_a_gestation_is_written_as_it_is_read(text: str) -> None:
    assert str(Gestation.read(text)) == text


@pytest.mark.parametrize(
    "text", ["27w7d", "27", "w3d", "27w3", "-1w0d", "127w3d", "٣w"]
)
def test_what_is_no_gestation(text: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        Gestation.read(text)


def test_masses_and_weeks_in_words() -> None:
    assert grams_in_words(999.9) == "999.9 g"
    assert grams_in_words(1000.0) == "1000 g"
    assert weeks_and_days(225) == "32w1d"


def test_two_months_after_new_years_eve_end_with_february() -> None:
    start = datetime(2025, 12, 31, 12, tzinfo=UTC)

    assert CalendarSpan(2, 0).after(start, UTC) == datetime(2026, 2, 28, 12, tzinfo=UTC)


def test_a_wall_time_that_the_clocks_skip_is_read_as_if_they_had_not() -> None:
    zone = ZoneInfo("America/New_York")
    start = datetime(2026, 3, 7, 2, 30, tzinfo=zone).astimezone(UTC)

    after = CalendarSpan(0, 1).after(start, zone).astimezone(zone)

    assert after == datetime(2026, 3, 8, 3, 30, tzinfo=zone)


def test_a_wall_time_that_comes_twice_is_the_first() -> None:
    zone = ZoneInfo("America/New_York")
    start = datetime(2026, 10, 31, 1, 30, tzinfo=zone).astimezone(UTC)

    after = CalendarSpan(0, 1).after(start, zone)

    assert after == datetime(2026, 11, 1, 5, 30, tzinfo=UTC)


def test_the_last_weighing_up_to_the_instant_counts() -> None:
    first = Weight(AT - timedelta(days=2), 900)
    second = Weight(AT, 1000)
    child = Child(weights=(first, second))

    assert mass_at(child, AT) == second
    assert mass_at(child, AT - timedelta(minutes=1)) == first
    assert mass_at(child, AT - timedelta(days=3)) == Unknown(
        "not weighed before this time"
    )
    assert mass_at(Child(), AT) == NOT_GIVEN


def test_a_fact_is_known_or_not() -> None:
    assert is_known(0)
    assert not is_known(NOT_GIVEN)
    assert known_or_none(0) == 0
    assert known_or_none(NOT_GIVEN) is None


def test_a_shown_value_is_short() -> None:
    assert shown("a" * 60) == "'" + "a" * 39 + "…'"
    assert shown(7) == "7"
    assert shown(10**5000) == "a value too long to show"
    assert shown([1] * 100) == str([1] * 100)[:40] + "…"


def test_a_near_word_is_offered_and_a_far_one_is_not() -> None:
    assert closest("tranparent", ["transparent", "gauze"]) == "transparent"
    assert closest("elbow", ["transparent", "gauze"]) is None


def test_a_fault_has_three_lines() -> None:
    fault = Fault("case-missing", "'g' is missing.", "case.json: g", "add it")

    assert str(fault) == (
        "'g' is missing.  [case-missing]\n  where: case.json: g\n  mend:  add it"
    )


def test_a_reader_goes_on_after_a_fault() -> None:
    faults: list[Fault] = []
    reader = Reader({"a": 1, "b": "x", "c": [1, {}]}, "f: ", faults, "case")

    assert reader.text("a") is None
    assert reader.word("b", ["y"]) is None
    assert [row.where for row in reader.rows("c")] == ["f: c[1]"]
    assert reader.whole("d", low=0, high=9, unit="steps", needed=True) is None
    assert [fault.where for fault in faults] == ["f: a", "f: b", "f: c[0]", "f: d"]
