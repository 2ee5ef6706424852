"""Read a calendar day that a person typed into a form."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lumenkeep.ward.site.typed_values import Typed


def typed_day(
    form: Typed, name: str, label: str, today: date, *, needed: bool = False
) -> date | None:
    """Return a day not later than ``today``, typed as in 2026-11-25."""
    text = form.text(name, label, needed=needed)
    if text is None:
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        form.fault(
            "bad-day",
            f"{label}: this is no day.",
            name,
            "write it as in 2026-11-25",
        )
        return None
    if day > today:
        form.fault(
            "in-the-future",
            f"{label}: this day is still to come.",
            name,
            "write the day on which it was so",
        )
        return None
    return day
