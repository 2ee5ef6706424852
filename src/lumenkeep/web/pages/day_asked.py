"""A day as an address or a form names it."""

from __future__ import annotations

from datetime import date

FIRST_YEAR, LAST_YEAR = 1900, 2199
"""Beyond them a day is a slip of the hand, and sums with it leave the calendar."""


def day_asked(text: str) -> date | None:
    """Return the day written as in 2026-03-05; None where it is none of our time."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_YEAR <= day.year <= LAST_YEAR else None
