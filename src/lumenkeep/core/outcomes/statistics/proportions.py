"""Limits of a proportion, and of the difference of two."""

from __future__ import annotations

from dataclasses import dataclass

from lumenkeep.core.outcomes.statistics.interval import LEVEL, Limits, tail
from lumenkeep.core.outcomes.statistics.ratios import (
    exact_share_limits,
    mid_p_share_limits,
)


@dataclass(frozen=True, slots=True)
class Proportion:
    """x out of n with limits by four methods; the score limits are the ones to show."""

    value: float
    wilson: Limits
    wilson_corrected: Limits
    exact: Limits
    mid_p: Limits


def proportion(x: int, n: int, level: float = LEVEL) -> Proportion:
    """Return a proportion with its limits.

    Parameters
    ----------
    x
        Successes, 0 to ``n``.
    n
        Trials, above 0.

    References
    ----------
    .. [1] R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872.
    """
    return Proportion(
        x / n,
        wilson(x, n, level),
        _scipy_wilson(x, n, level, "wilsoncc"),
        exact_share_limits(x, n, level),
        mid_p_share_limits(x, n, level),
    )


def wilson(x: int, n: int, level: float = LEVEL) -> Limits:
    """Return score limits of x out of n."""
    return _scipy_wilson(x, n, level, "wilson")


def _scipy_wilson(x: int, n: int, level: float, method: str) -> Limits:
    from scipy.stats import binomtest

    found = binomtest(x, n).proportion_ci(level, method)
    return Limits(float(found.low), float(found.high))


@dataclass(frozen=True, slots=True)
class Difference:
    """First proportion less the second, with limits."""

    value: float
    limits: Limits


def newcombe_difference(
    x1: int, n1: int, x2: int, n2: int, level: float = LEVEL
) -> Difference:
    """Return the difference of two proportions with limits from their score limits.

    Notes
    -----
    Newcombe's method 10. scipy has no limits for a difference of proportions.

    References
    ----------
    .. [1] R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890.
    """
    p1, p2 = x1 / n1, x2 / n2
    l1, u1 = _pair(wilson(x1, n1, level))
    l2, u2 = _pair(wilson(x2, n2, level))
    value = p1 - p2
    low = value - ((p1 - l1) ** 2 + (u2 - p2) ** 2) ** 0.5
    high = value + ((u1 - p1) ** 2 + (p2 - l2) ** 2) ** 0.5
    return Difference(value, Limits(low, high))


def _pair(limits: Limits) -> tuple[float, float]:
    return limits.low or 0.0, 1.0 if limits.high is None else limits.high


def sample_size_for_width(share: float, half_width: float, level: float = LEVEL) -> int:
    """Return how many observations give a proportion this half width.

    Parameters
    ----------
    share
        What is expected, between 0 and 1; 0.5 is safest.
    half_width
        Half of the wanted width, between 0 and 0.5.
    """
    from math import ceil

    from scipy.special import ndtri

    z = float(ndtri(1.0 - tail(level)))
    return ceil(z * z * share * (1.0 - share) / half_width**2)
