"""A clock that stands still until it is told to move."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

NOON = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
"""Noon in the demo hospital's zone, on a Wednesday in winter."""


class FixedClock:
    """Plays the clock port."""

    def __init__(self, at: datetime = NOON) -> None:
        self.at = at

    def now(self) -> datetime:
        return self.at

    def move(self, **by: float) -> datetime:
        self.at += timedelta(**by)
        return self.at
