"""Spans and instants in a colleague's words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lumenkeep.text.moments import (
    counted,
    moment_in_words,
    plain_day_and_time,
    span_in_words,
)
from lumenkeep.ward.chart.pages.plan_page import area_in_words, seconds_in_words

NOW = datetime(2026, 11, 24, 15, 40, tzinfo=UTC)
CHICAGO = ZoneInfo("America/Chicago")


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (-5, "0 min"),
        (0.99, "0 min"),
        (59, "59 min"),
        (60, "1 h"),
        (570, "9 h 30 min"),
        (1439, "23 h 59 min"),
        (1440, "1 d"),
        (3600, "2 d 12 h"),
        (14400 - 1, "9 d 23 h"),
        (14400 + 120, "10 d"),
    ],
)
def test_a_span_is_said_in_its_two_largest_units(minutes: float, words: str) -> None:
    assert span_in_words(timedelta(minutes=minutes)) == words


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (0, "today 09:40"),
        (-9.66, "today 00:00"),
        (-9.7, "yesterday 23:58"),
        (14.3, "today 23:58"),
        (14.34, "tomorrow 00:00"),
        (24 * 6, "Monday 09:40"),
        (24 * 7, "Tue 1 Dec 09:40"),
        (-48, "Sun 22 Nov 09:40"),
        (24 * 40, "Sun 3 Jan 2027 09:40"),
    ],
)
def test_a_day_is_named_as_seen_from_now(hours: float, words: str) -> None:
    assert moment_in_words(NOW + timedelta(hours=hours), NOW, CHICAGO) == words


def test_paper_gets_the_year() -> None:
    assert plain_day_and_time(NOW, CHICAGO) == "Tue 24 Nov 2026, 09:40"


def test_numbers_take_their_noun() -> None:
    assert counted(1, "line", "lines") == "1 line"
    assert counted(2000, "line", "lines") == "2,000 lines"


def test_times_and_areas_are_said_as_at_the_bedside() -> None:
    assert [seconds_in_words(s) for s in (30, 60, 90, 120)] == [
        "30 s",
        "1 min",
        "1 min 30 s",
        "2 min",
    ]
    assert area_in_words((51, 76)) == "5.1 to 7.6 cm"
    assert area_in_words((50, 50)) == "5 cm"
