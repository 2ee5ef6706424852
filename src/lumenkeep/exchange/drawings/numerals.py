"""Numbers as they are written in drawings, tables and sentences."""

from __future__ import annotations

from math import isfinite

LEAST_SHOWN = 0.1
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


def per_cent(share: float) -> str:
    """Return a share as a percentage: whole, finer only below 1 and above 99."""
    value = share * 100.0
    if 0.0 < value < LEAST_SHOWN:
        return f"<{LEAST_SHOWN:g} %"
    if 100.0 - LEAST_SHOWN < value < 100.0:  # noqa: PLR2004 - per cent
        return f">{100 - LEAST_SHOWN:g} %"
    fine = 0.0 < value < 1.0 or 99.0 < value < 100.0  # noqa: PLR2004 - per cent
    return f"{value:.1f} %" if fine else f"{value:.0f} %"


def span(low: float, high: float) -> str:
    """Return two limits."""
    return f"{number(low)} to {number(high)}"


def share_span(low: float, high: float) -> str:
    """Return two limits of a share, in per cent."""
    return f"{per_cent(low).removesuffix(' %')} to {per_cent(high)}"


def counted(count: int, thing: str, things: str | None = None) -> str:
    """Return a count with its noun: "1 month", "12 months"."""
    return f"{count:,} {thing if count == 1 else things or thing + 's'}"


def listed(items: list[str]) -> str:
    """Return items joined as in a sentence."""
    if len(items) <= 1:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"
