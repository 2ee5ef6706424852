"""Days and instants as the chart writes them: one form each, and no other."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime

YEARS = (1900, 2200)
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_INSTANT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?"
    r"(?P<offset>Z|[+-][0-9]{2}:[0-9]{2})?"
)
INSTANT_MEND = "write date, time and offset, as in 2026-03-05T09:30:00-06:00"
DAY_MEND = "write a day, as in 2026-03-05"


def written_instant(value: object) -> datetime | None:
    """Return an instant (UTC) that a text states with its offset; None otherwise."""
    match = _INSTANT.fullmatch(value) if isinstance(value, str) else None
    if match is None or match["offset"] is None:
        return None
    try:
        found = datetime.fromisoformat(match[0])
    except ValueError:
        return None
    is_sane = YEARS[0] <= found.year <= YEARS[1]
    return found.astimezone(UTC) if is_sane else None


def lacks_offset(value: object) -> bool:
    """Return whether a text states date and time, and not its offset from UTC."""
    match = _INSTANT.fullmatch(value) if isinstance(value, str) else None
    return match is not None and match["offset"] is None


def written_day(value: object) -> date | None:
    """Return a calendar day that a text states; None otherwise."""
    if not isinstance(value, str) or not _DAY.fullmatch(value):
        return None
    try:
        found = date.fromisoformat(value)
    except ValueError:
        return None
    return found if YEARS[0] <= found.year <= YEARS[1] else None
