"""Days as an address or a form names them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from django.http import HttpRequest

FIRST_YEAR, LAST_YEAR = 1900, 2199
"""Beyond them a day is a slip of the hand, and sums with it leave the calendar."""
NINETY_DAYS = timedelta(days=89)
LONGEST = timedelta(days=3660)
NO_DAY = "That is no day of the calendar; these are the last ninety days."
NO_PERIOD = (
    "The first day must lie before the last, and ten years are the most; these are "
    "the last ninety days."
)


def day_asked(text: str) -> date | None:
    """Return the day written as in 2026-03-05; None where it is none of our time."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_YEAR <= day.year <= LAST_YEAR else None


def days_asked(request: HttpRequest, today: date) -> tuple[date, date, str]:
    """Return first and last day of ``from`` and ``to``, and why others were taken.

    Without a first day it is ninety days up to the last, without a last one up to
    today; days that cannot be used give the last ninety, with a sentence that says so.
    """
    usual = today - NINETY_DAYS, today
    typed = {name: request.GET.get(name, "") for name in ("from", "to")}
    days = {name: day_asked(text) for name, text in typed.items() if text}
    last = days.get("to", today)
    first = days.get("from", None if last is None else last - NINETY_DAYS)
    if first is None or last is None:
        return *usual, NO_DAY
    if not first <= last or last - first > LONGEST:
        return *usual, NO_PERIOD
    return first, last, ""
