"""Numbers as they are written in drawings, tables and sentences."""

from __future__ import annotations

from math import isfinite

from lumenkeep.text.shares import per_cent, share_span

__all__ = ["counted", "listed", "number", "per_cent", "share_span", "span"]

MINUS = "−"


def number(value: float) -> str:
    """Return a number with as many digits as a reader needs: three, as a rule."""
    if not isfinite(value):
        return "no limit"
    if float(value).is_integer():
        return f"{value:,.0f}".replace("-", MINUS)
    size = abs(value)
    decimals = next((n for n, least in enumerate((100, 10, 0.1)) if size >= least), 3)
    return f"{value:,.{decimals}f}".replace("-", MINUS)


def span(low: float, high: float) -> str:
    """Return two limits."""
    return f"{number(low)} to {number(high)}"


def counted(count: int, thing: str, things: str | None = None) -> str:
    """Return a count with its noun: "1 month", "12 months"."""
    return f"{count:,} {thing if count == 1 else things or thing + 's'}"


def listed(items: list[str]) -> str:
    """Return items joined as in a sentence."""
    if len(items) <= 1:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"
