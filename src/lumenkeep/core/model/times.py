"""Instants, time zones and the two kinds of interval.

Instants are stored in UTC, because two local times of one zone subtract wrongly
across a clock change. An interval is either *elapsed* (168 hours, whatever the
clock on the wall does) or *calendar* (seven days later at the same wall time);
each rule says which it means.
"""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo
from functools import lru_cache
from itertools import product

from lumenkeep.core.model.quantities import (
    SECONDS_PER_DAY,
    SECONDS_PER_HOUR,
    SECONDS_PER_MINUTE,
)

MONTHS_PER_YEAR = 12
CLOCKS_MOVE = timedelta(hours=26)
"""More than clocks ever move: a zone that skips a day, and summer time beside it."""
DAYS_THAT_MATTER = (1, 29, 30, 31)
"""Days of a month from which months may be of a different length than from others."""
YEARS_OF_EACH_KIND = (*range(1996, 2000), *range(2096, 2100))
"""Starts from which months lie as from any other: each place of a leap day, and none."""


def utc(instant: datetime) -> datetime:
    """Return the instant in UTC.

    Raises
    ------
    ValueError
        The instant names no zone, so it could be any of a day's instants.
    """
    if instant.tzinfo is None:
        raise ValueError("an instant needs its offset from UTC")
    return instant.astimezone(UTC)


@dataclass(frozen=True, slots=True)
class Elapsed:
    """A span of real time (seconds), the same across a clock change."""

    seconds: int

    def after(self, start: datetime, zone: tzinfo) -> datetime:
        """Return the instant this long after ``start`` (UTC); ``zone`` plays no part."""
        del zone
        return start + timedelta(seconds=self.seconds)

    def bounds(self) -> tuple[timedelta, timedelta]:
        """Return the length twice: real time is never longer or shorter."""
        step = timedelta(seconds=self.seconds)
        return step, step

    def nominal_hours(self) -> float:
        """Return the length in hours."""
        return self.seconds / SECONDS_PER_HOUR

    def __str__(self) -> str:
        for size, unit in (
            (SECONDS_PER_DAY * 2, "d"),
            (SECONDS_PER_HOUR, "h"),
            (SECONDS_PER_MINUTE, "min"),
        ):
            whole = SECONDS_PER_DAY if unit == "d" else size
            if self.seconds >= size and self.seconds % whole == 0:
                number = self.seconds // whole
                if unit == "d":
                    return f"{number} × 24 h"
                return f"{number} {unit}"
        return f"{self.seconds} s"


@dataclass(frozen=True, slots=True)
class CalendarSpan:
    """A span of months and days on the calendar, ending at the same wall time.

    A month that lacks the day ends on its last day: two months after
    31 December is 28 or 29 February.
    """

    months: int
    days: int

    def after(self, start: datetime, zone: tzinfo) -> datetime:
        """Return the instant this long after ``start``, by the calendar of ``zone``.

        Parameters
        ----------
        start
            Instant in UTC.
        zone
            The ward's zone; its wall clock is what is kept.

        Returns
        -------
        datetime
            In UTC. A wall time that the clocks skip is read as if they had not
            yet changed; one that comes twice is the first.
        """
        return _by_the_calendar(self.months, self.days, start, zone)

    def bounds(self) -> tuple[timedelta, timedelta]:
        """Return a time surely shorter, and one surely longer, whatever the start."""
        return _bounds(self.months, self.days)

    def is_never_later(self, other: CalendarSpan) -> bool:
        """Return whether this span is over no later than another from the same start."""
        if self.months <= other.months and self.days <= other.days:
            return True
        most = days_of_months(self.months)[1] + self.days
        return most <= days_of_months(other.months)[0] + other.days

    def nominal_hours(self) -> float:
        """Return the length in hours when no clock changes; months count 30 days."""
        return float((self.months * 30 + self.days) * 24)

    def __str__(self) -> str:
        parts = []
        if self.months:
            years, months = divmod(self.months, MONTHS_PER_YEAR)
            if years:
                parts.append(f"{years} year" + "s" * (years != 1))
            if months:
                parts.append(f"{months} calendar month" + "s" * (months != 1))
        if self.days:
            parts.append(f"{self.days} day" + "s" * (self.days != 1))
        return " and ".join(parts)


@lru_cache(maxsize=1 << 16)
def _by_the_calendar(months: int, days: int, start: datetime, zone: tzinfo) -> datetime:
    local = start.astimezone(zone)
    if months:
        month = local.month - 1 + months
        year, month = local.year + month // MONTHS_PER_YEAR, month % MONTHS_PER_YEAR + 1
        last = calendar.monthrange(year, month)[1]
        local = local.replace(year=year, month=month, day=min(local.day, last))
    moved = local.replace(tzinfo=None, fold=0) + timedelta(days=days)
    return moved.replace(tzinfo=zone).astimezone(UTC)


@lru_cache(maxsize=1024)
def _bounds(months: int, days: int) -> tuple[timedelta, timedelta]:
    fewest, most = days_of_months(months)
    return (
        timedelta(days=fewest + days) - CLOCKS_MOVE,
        timedelta(days=most + days) + CLOCKS_MOVE,
    )


@lru_cache(maxsize=1024)
def days_of_months(months: int) -> tuple[int, int]:
    """Return the fewest and the most days that so many months in a row can have.

    Examples
    --------
    >>> days_of_months(2)
    (59, 62)
    """
    found = set()
    for year, month, day in product(
        YEARS_OF_EACH_KIND, range(1, MONTHS_PER_YEAR + 1), DAYS_THAT_MATTER
    ):
        if day <= calendar.monthrange(year, month)[1]:
            start = datetime(year, month, day, tzinfo=UTC)
            found.add((_by_the_calendar(months, 0, start, UTC) - start).days)
    return min(found), max(found)


Span = Elapsed | CalendarSpan


@dataclass(frozen=True, slots=True)
class Birth:
    """When a child was born: from the earliest to the latest instant it may be.

    Parameters
    ----------
    earliest, latest
        Instants in UTC; equal when the time is on record, a day apart (23 to 25
        hours) when only the date is.
    """

    earliest: datetime
    latest: datetime

    @classmethod
    def at(cls, instant: datetime) -> Birth:
        """Return a birth whose time is on record."""
        moment = utc(instant)
        return cls(moment, moment)

    @classmethod
    def on(cls, day: date, zone: tzinfo) -> Birth:
        """Return a birth of which only the date is on record, in its zone."""
        start = datetime(day.year, day.month, day.day, tzinfo=zone)
        following = day + timedelta(days=1)
        end = datetime(following.year, following.month, following.day, tzinfo=zone)
        return cls(start.astimezone(UTC), end.astimezone(UTC))

    @property
    def is_exact(self) -> bool:
        """Whether the time of day is on record."""
        return self.earliest == self.latest
