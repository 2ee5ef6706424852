"""Whether counts vary more from period to period than chance alone makes them."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

SIGNIFICANT = 0.05


def dispersion_p(counts: Sequence[float], units: Sequence[float]) -> float:
    """Return the chance of so much variation if all periods had one rate.

    Parameters
    ----------
    counts, units
        Events, and time at risk above 0, of each period; two periods at least.

    Notes
    -----
    Pearson's chi-square of counts against one common rate, with one degree of freedom
    less than periods. Rough where fewer than one event is expected in a period.
    """
    from scipy.special import chdtrc

    rate = sum(counts) / sum(units)
    if rate == 0:
        return 1.0
    square = sum(
        (x - rate * n) ** 2 / (rate * n) for x, n in zip(counts, units, strict=True)
    )
    return float(chdtrc(len(counts) - 1, square))


def varies_more_than_chance(counts: Sequence[float], units: Sequence[float]) -> bool:
    """Whether the variation is too large for chance at the usual 5 %."""
    return dispersion_p(counts, units) < SIGNIFICANT
