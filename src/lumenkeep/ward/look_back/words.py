"""How the look-back says days and spans of time."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

HOURS_A_DAY = 24.0
SECONDS_A_MINUTE, SECONDS_AN_HOUR = 60.0, 3600.0
TWO_DAYS = 2.0


def lasting(seconds: float) -> str:
    """Return a span of time in minutes, hours or days."""
    hours = seconds / SECONDS_AN_HOUR
    if round(hours) < 1:
        return _counted(round(seconds / SECONDS_A_MINUTE), "minute")
    if hours < TWO_DAYS * HOURS_A_DAY:
        return _counted(round(hours), "hour")
    return f"{hours / HOURS_A_DAY:.1f} days".replace(".0 ", " ")


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def day_words(day: date) -> str:
    """Return a day as in "5 Mar 2026", whatever the machine's language."""
    return f"{day.day} {day:%b} {day.year}"
