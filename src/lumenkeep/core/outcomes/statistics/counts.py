"""Limits of a count of events, and of a rate per 1000.

Three kinds that are often mixed up: exact (at least the stated coverage), mid-P (the
stated coverage on average) and an approximation by hand. For a count of 0 some
programs give a one-sided limit; here all limits are two-sided.
"""

from __future__ import annotations

from dataclasses import dataclass

from lumenkeep.core.outcomes.statistics.interval import (
    LEVEL,
    Limits,
    bracket_above,
    root,
    tail,
)

PER = 1000.0


def exact_count_limits(events: float, level: float = LEVEL) -> Limits:
    """Return exact Poisson limits of a count.

    Parameters
    ----------
    events
        Events counted, 0 or more.
    level
        Coverage, between 0 and 1.

    References
    ----------
    .. [1] F. Garwood, Biometrika 28 (1936) 437-442; in chi-square form K. Ulm,
       American Journal of Epidemiology 131 (1990) 373-375.
    """
    from scipy.special import gammaincinv

    alpha = tail(level)
    low = float(gammaincinv(events, alpha)) if events > 0 else 0.0
    return Limits(low, float(gammaincinv(events + 1.0, 1.0 - alpha)))


def mid_p_count_limits(events: int, level: float = LEVEL) -> Limits:
    """Return mid-P limits of a count: half of the observed point counts for each tail."""
    alpha = tail(level)

    def upper(mean: float) -> float:
        return _mid_p_at_most(events, mean) - alpha

    def lower(mean: float) -> float:
        return _mid_p_at_least(events, mean) - alpha

    high = root(upper, float(events), bracket_above(upper, float(events)))
    low = root(lower, 0.0, float(events)) if events > 0 else 0.0
    return Limits(low, high)


def approximate_count_limits(events: int, level: float = LEVEL) -> Limits:
    """Return Byar's approximation: for a check by hand, poor below ten events."""
    from scipy.special import ndtri

    z = float(ndtri(1.0 - tail(level)))

    def bound(count: float, sign: float) -> float:
        root = 1.0 - 1.0 / (9.0 * count) + sign * z / (3.0 * float(count**0.5))
        return count * root * root * root

    low = bound(float(events), -1.0) if events > 0 else 0.0
    return Limits(low, bound(events + 1.0, 1.0))


def _mid_p_at_most(events: int, mean: float) -> float:
    """Return the chance of fewer events plus half that of exactly as many."""
    from scipy.special import pdtr

    below = float(pdtr(events - 1, mean)) if events > 0 else 0.0
    return (below + float(pdtr(events, mean))) / 2.0


def _mid_p_at_least(events: int, mean: float) -> float:
    return 1.0 - _mid_p_at_most(events, mean)


def mid_p_value(events: int, mean: float) -> float:
    """Return the two-sided mid-P value of a count against an expected one."""
    smaller = min(_mid_p_at_most(events, mean), _mid_p_at_least(events, mean))
    return min(1.0, 2.0 * smaller)


@dataclass(frozen=True, slots=True)
class Rate:
    """A rate per 1000 with exact and mid-P limits, all per 1000."""

    events: int
    line_days: float
    value: float
    exact: Limits
    mid_p: Limits


def rate_per_1000(events: int, line_days: float, level: float = LEVEL) -> Rate:
    """Return infections per 1000 line-days.

    Parameters
    ----------
    events
        Infections counted, 0 or more.
    line_days
        Time at risk, above 0 (days).
    level
        Coverage of the limits.

    Raises
    ------
    ValueError
        Without time at risk there is no rate, and a 0 would read as a good result.

    Examples
    --------
    >>> rate = rate_per_1000(3, 1500.0)
    >>> f"{rate.value:.2f} ({rate.exact.low:.2f} to {rate.exact.high:.2f})"
    '2.00 (0.41 to 5.84)'
    """
    if line_days <= 0:
        raise ValueError("line-days must be above 0")
    factor = PER / line_days
    return Rate(
        events,
        line_days,
        events * factor,
        exact_count_limits(events, level).scaled(factor),
        mid_p_count_limits(events, level).scaled(factor),
    )
