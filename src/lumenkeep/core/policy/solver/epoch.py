"""A stretch of days on which every number of a policy keeps its value.

A change of a number that is written for next month must be proved today. The proof
goes through the present stretch and every later one, and the children it shows are
asked about inside the stretch they are a fault of.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.policy import Policy

YEARS_BACK = (0, 1, 2, 4, 7, 12, 18)
BIRTHDAYS = ((3, 3, 8), (1, 1, 0), (7, 1, 12), (12, 31, 8), (11, 30, 8), (2, 28, 0))
"""Month, day and hour: ordinary ones, and those on which a calendar is odd."""


DAYS_TRIED = 4 * 366


@dataclass(frozen=True, slots=True)
class Epoch:
    """From the first instant up to, not including, the last (UTC); None: for good."""

    start: datetime
    end: datetime | None

    def births(self) -> Iterator[datetime]:
        """Yield births of example children who can be asked about in this stretch."""
        for back in YEARS_BACK:
            for month, day, hour in BIRTHDAYS:
                year = self.start.year + 1 - back
                yield datetime(year, month, day, hour, tzinfo=UTC)

    def every_birth(self) -> Iterator[datetime]:
        """Yield those, and every day of some years: a leap year lies among them."""
        yield from self.births()
        yield from (self.start - timedelta(days=n) for n in range(DAYS_TRIED))

    def holds(self, at: datetime) -> bool:
        """Return whether an instant lies inside."""
        return self.start <= at and (self.end is None or at < self.end)

    @property
    def day(self) -> date:
        """A day of the stretch, to look numbers up by."""
        return self.start.date()


def epochs_from(day: date, *policies: Policy) -> list[Epoch]:
    """Return the stretch that ``day`` lies in, and every later one.

    Parameters
    ----------
    day
        Day from which answers matter.
    policies
        One set, or several that are compared.
    """
    starts = sorted({start for policy in policies for start in policy.starts})
    past = [start for start in starts if start <= day]
    first = past[-1] if past else day
    turns = [first, *(start for start in starts if start > day)]
    return [
        Epoch(_midnight(start), _midnight(end) if end else None)
        for start, end in zip(turns, [*turns[1:], None], strict=True)
    ]


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time(), tzinfo=UTC)
