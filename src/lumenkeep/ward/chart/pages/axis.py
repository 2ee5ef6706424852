"""The time axis that all strips of a ward share: whole days of the ward's wall clock.

Day marks stand at local midnights, so a day of 23 or 25 hours is drawn as long as it
is. Positions are percent of the strip's width; an instant beyond an end lies on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, tzinfo
from itertools import pairwise

DAYS_BACK = 7
DAYS_AHEAD = 4


@dataclass(frozen=True, slots=True)
class DayMark:
    """A local midnight on the axis: where (percent), how wide, and its name."""

    x: float
    width: float
    label: str
    is_today: bool


@dataclass(frozen=True, slots=True)
class Axis:
    """From ``start`` to ``end`` (UTC) with the days between.

    Attributes
    ----------
    now
        The instant the upright line stands for (UTC).
    """

    start: datetime
    end: datetime
    now: datetime
    zone: tzinfo
    days: tuple[DayMark, ...]

    def x(self, at: datetime) -> float:
        """Return the position of an instant (percent, 0 to 100, two decimals)."""
        share = (at - self.start) / (self.end - self.start)
        return round(min(1.0, max(0.0, share)) * 100, 2)

    def holds(self, at: datetime) -> bool:
        """Return whether the instant lies on the axis, its ends included."""
        return self.start <= at <= self.end

    @property
    def now_x(self) -> float:
        """Where now is (percent)."""
        return self.x(self.now)


def axis_around(
    now: datetime,
    zone: tzinfo,
    *,
    days_back: int = DAYS_BACK,
    days_ahead: int = DAYS_AHEAD,
) -> Axis:
    """Return the axis from some midnights before today to some after it.

    Parameters
    ----------
    now
        The present instant (UTC).
    zone
        The ward's zone.
    days_back, days_ahead
        Whole days shown before today and from today on (days).
    """
    today = now.astimezone(zone).date()
    midnights = [
        datetime.combine(today + timedelta(days=n), time(), zone).astimezone(UTC)
        for n in range(-days_back, days_ahead + 1)
    ]
    start, end = midnights[0], midnights[-1]
    whole = end - start
    days = tuple(
        DayMark(
            x=round((midnight - start) / whole * 100, 2),
            width=round((following - midnight) / whole * 100, 2),
            label=f"{midnight.astimezone(zone):%a}",
            is_today=n == days_back,
        )
        for n, (midnight, following) in enumerate(pairwise(midnights))
    )
    return Axis(start, end, now, zone, days)
