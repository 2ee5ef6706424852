"""Spans and instants in the words a colleague would use.

A span is said in its two largest units; an instant by its day as seen from now, on
the ward's own clock.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date, datetime, timedelta, tzinfo

MINUTES_PER_HOUR = 60
HOURS_PER_DAY = 24
DAYS_SAID_WITHOUT_HOURS = 10
DAYS_NAMED_BY_WEEKDAY = 6


def span_in_words(span: timedelta) -> str:
    """Return a span of time in its two largest units, rounded down to minutes.

    Examples
    --------
    >>> span_in_words(timedelta(hours=9, minutes=30))
    '9 h 30 min'
    >>> span_in_words(timedelta(days=2, hours=12, minutes=5))
    '2 d 12 h'
    """
    minutes = max(0, int(span.total_seconds() // 60))
    hours, minutes = divmod(minutes, MINUTES_PER_HOUR)
    days, hours = divmod(hours, HOURS_PER_DAY)
    if days >= DAYS_SAID_WITHOUT_HOURS or (days and not hours):
        return f"{days} d"
    if days:
        return f"{days} d {hours} h"
    if hours:
        return f"{hours} h {minutes} min" if minutes else f"{hours} h"
    return f"{minutes} min"


def day_in_words(at: datetime, now: datetime, zone: tzinfo) -> str:
    """Return the day of an instant as seen from now, on the wall clock of ``zone``.

    Examples
    --------
    >>> from datetime import UTC
    >>> noon = datetime(2026, 11, 24, 12, tzinfo=UTC)
    >>> day_in_words(noon + timedelta(days=1), noon, UTC)
    'tomorrow'
    >>> day_in_words(noon - timedelta(days=9), noon, UTC)
    'Sun 15 Nov'
    """
    day, today = at.astimezone(zone).date(), now.astimezone(zone).date()
    distance = (day - today).days
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}.get(distance)
    if near:
        return near
    if 0 < distance <= DAYS_NAMED_BY_WEEKDAY:
        return f"{day:%A}"
    year = f" {day.year}" if day.year != today.year else ""
    return f"{day:%a} {day.day} {day:%b}{year}"


def moment_in_words(at: datetime, now: datetime, zone: tzinfo) -> str:
    """Return day and time of an instant, as in "tomorrow 08:12"."""
    return f"{day_in_words(at, now, zone)} {at.astimezone(zone):%H:%M}"


def plain_day_and_time(at: datetime, zone: tzinfo) -> str:
    """Return day and time that stay true on paper, as in "Tue 24 Nov 2026, 09:40"."""
    local = at.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b %Y, %H:%M}"


def plain_day(day: date) -> str:
    """Return a day that stays true on paper, as in "5 Mar 2026"."""
    return f"{day.day} {day:%b} {day.year}"


def counted(number: int, one: str, many: str) -> str:
    """Return a number with its noun, as in "1 line", "23 lines"."""
    return f"{number:,} {one if number == 1 else many}"


def capital(text: str) -> str:
    """Return the text with a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def lower_first(text: str) -> str:
    """Return the text with a small first letter, to stand inside a sentence."""
    return text[:1].lower() + text[1:]
