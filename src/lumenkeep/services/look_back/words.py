"""How the look-back says shares and spans of time."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

HOURS_A_DAY = 24.0
SECONDS_A_MINUTE, SECONDS_AN_HOUR = 60.0, 3600.0
TWO_DAYS = 2.0
LEAST_SHOWN = 0.1
MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip


def per_cent(share: float) -> str:
    """Return a share as a percentage: whole, finer only below 1 and above 99."""
    value = share * 100.0
    if 0.0 < value < LEAST_SHOWN:
        return f"<{LEAST_SHOWN:g} %"
    if 100.0 - LEAST_SHOWN < value < 100.0:  # noqa: PLR2004 - per cent
        return f">{100 - LEAST_SHOWN:g} %"
    fine = 0.0 < value < 1.0 or 99.0 < value < 100.0  # noqa: PLR2004 - per cent
    return f"{value:.1f} %" if fine else f"{value:.0f} %"


def share_with_limits(share: float, low: float, high: float) -> str:
    """Return a share with its limits: "92 % (95 % limits 88 to 95 %)"."""
    return f"{per_cent(share)} (95 % limits {share_span(low, high)})"


def share_span(low: float, high: float) -> str:
    """Return two shares: "88 to 95 %", or one where they are the same."""
    if low == high:
        return per_cent(low)
    return f"{per_cent(low).removesuffix(' %')} to {per_cent(high)}"


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
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
