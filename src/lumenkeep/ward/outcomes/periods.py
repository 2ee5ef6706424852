"""Cut a time into periods: months where there are enough of them, else weeks.

About a change of practice the cut is made on the day of the change, so that no period
holds both practices.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

MONTHS_WORTH_CHARTING = 6
WEEK, FOUR_WEEKS = timedelta(days=7), timedelta(days=28)
ONE_DAY = timedelta(days=1)
DAYS_IN_WEEKS = 366
DECEMBER = 12


@dataclass(frozen=True, slots=True)
class Period:
    """Days from ``first`` to ``last``, both included, with a short name."""

    label: str
    first: date
    last: date

    @property
    def length(self) -> int:
        """How many days it has."""
        return (self.last - self.first).days + 1

    def holds(self, on: date) -> bool:
        """Whether a day lies in it."""
        return self.first <= on <= self.last


def months_of(first: date, last: date) -> tuple[Period, ...]:
    """Return the calendar months, the outer ones cut to the time."""
    found, start = [], first
    while start <= last:
        following = _next_month(start)
        end = min(last, following - ONE_DAY)
        found.append(Period(f"{start:%b %Y}", start, end))
        start = following
    return tuple(found)


def _next_month(day: date) -> date:
    year, month = (
        (day.year + 1, 1) if day.month == DECEMBER else (day.year, day.month + 1)
    )
    return date(year, month, 1)


def weeks_of(first: date, last: date) -> tuple[Period, ...]:
    """Return blocks of seven days, the last as it falls; named by their first day."""
    return _blocks(first, last, WEEK)


def _blocks(first: date, last: date, step: timedelta) -> tuple[Period, ...]:
    found, start = [], first
    while start <= last:
        found.append(Period(_day(start), start, min(last, start + step - ONE_DAY)))
        start += step
    return tuple(found)


def _day(day: date) -> str:
    return f"{day.day} {day:%b}"


def periods_of(first: date, last: date) -> tuple[tuple[Period, ...], str]:
    """Return the periods a chart is drawn by, and what one is called."""
    months = months_of(first, last)
    if len(months) > MONTHS_WORTH_CHARTING:
        return months, "month"
    return weeks_of(first, last), "week"


def periods_about(
    first: date, last: date, change: date
) -> tuple[tuple[Period, ...], int, str]:
    """Return periods of which one begins on the day of a change, and its number.

    Returns
    -------
    tuple
        The periods; the number of the first one of the new practice, from 1; what one
        is called. Outer periods may be shorter.
    """
    is_long = (last - first).days > DAYS_IN_WEEKS
    step = FOUR_WEEKS if is_long else WEEK
    before: list[Period] = []
    end = change - ONE_DAY
    while end >= first:
        start = max(first, end - step + ONE_DAY)
        before.append(Period(_day(start), start, end))
        end = start - ONE_DAY
    after = _blocks(change, last, step)
    found = (*reversed(before), *after)
    return found, len(before) + 1, "four weeks" if is_long else "week"
