"""How shares are said, with their limits."""

from __future__ import annotations

LEAST_SHOWN = 0.1


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
