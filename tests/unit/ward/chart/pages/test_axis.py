"""The shared time axis: days of the wall clock, both sides of its ends."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lumenkeep.ward.chart.pages.strip import axis_around

ROME = ZoneInfo("Europe/Rome")
NOON = datetime(2026, 11, 24, 11, tzinfo=UTC)


def test_the_axis_runs_from_midnight_to_midnight() -> None:
    axis = axis_around(NOON, ROME, days_back=7, days_ahead=4)

    assert axis.start == datetime(2026, 11, 17, tzinfo=ROME).astimezone(UTC)
    assert axis.end == datetime(2026, 11, 28, tzinfo=ROME).astimezone(UTC)
    assert [day.label for day in axis.days][-4:] == ["Tue", "Wed", "Thu", "Fri"]
    assert [day.is_today for day in axis.days].index(True) == 7


def test_the_ends_are_on_the_axis_and_a_second_beyond_is_not() -> None:
    axis = axis_around(NOON, ROME)
    second = timedelta(seconds=1)

    assert axis.x(axis.start) == 0
    assert axis.x(axis.end) == 100
    assert axis.holds(axis.start)
    assert axis.holds(axis.end)
    assert not axis.holds(axis.start - second)
    assert not axis.holds(axis.end + second)
    assert axis.x(axis.start - second) == 0
    assert axis.x(axis.end + second) == 100


def test_noon_of_a_day_of_even_length_lies_in_its_middle() -> None:
    axis = axis_around(NOON, ROME)
    today = next(day for day in axis.days if day.is_today)

    assert axis.now_x == pytest.approx(today.x + today.width / 2, abs=0.02)


@pytest.mark.parametrize(
    ("day", "hours"),
    [
        (datetime(2026, 3, 29, 12, tzinfo=ROME), 23),
        (datetime(2026, 10, 25, 12, tzinfo=ROME), 25),
    ],
)
def test_the_day_the_clocks_change_is_drawn_as_long_as_it_is(
    day: datetime, hours: int
) -> None:
    axis = axis_around(day.astimezone(UTC), ROME, days_back=2, days_ahead=3)
    whole = (axis.end - axis.start).total_seconds() / 3600
    changed = next(mark for mark in axis.days if mark.is_today)
    others = [mark for mark in axis.days if not mark.is_today]

    assert whole == 4 * 24 + hours
    assert changed.width == pytest.approx(hours / whole * 100, abs=0.01)
    assert all(
        mark.width == pytest.approx(24 / whole * 100, abs=0.01) for mark in others
    )
    assert sum(mark.width for mark in axis.days) == pytest.approx(100, abs=0.05)
