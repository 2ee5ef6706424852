"""Observed against predicted, and one rate against another."""

from __future__ import annotations

from dataclasses import dataclass

from lumenkeep.core.outcomes.statistics.counts import (
    exact_count_limits,
    mid_p_count_limits,
    mid_p_value,
)
from lumenkeep.core.outcomes.statistics.interval import LEVEL, Limits, root, tail

FEWEST_PREDICTED = 1.0


@dataclass(frozen=True, slots=True)
class StandardisedRatio:
    """Observed over predicted; ``value`` is None where too few were predicted."""

    observed: int
    predicted: float
    value: float | None
    mid_p: Limits
    exact: Limits
    p: float | None


def standardised_ratio(
    observed: int, predicted: float, level: float = LEVEL
) -> StandardisedRatio:
    """Return the standardised ratio with mid-P limits, the exact ones beside them.

    Parameters
    ----------
    observed
        Events counted.
    predicted
        Events predicted by the stored baseline; below 1.0 no ratio is given.

    Notes
    -----
    Where nothing was observed the ratio is 0 and has no lower limit.
    """
    if predicted < FEWEST_PREDICTED:
        none = Limits(None, None)
        return StandardisedRatio(observed, predicted, None, none, none, None)
    limits = [
        found.scaled(1.0 / predicted)
        for found in (
            mid_p_count_limits(observed, level),
            exact_count_limits(observed, level),
        )
    ]
    if observed == 0:
        limits = [Limits(None, found.high) for found in limits]
    return StandardisedRatio(
        observed,
        predicted,
        observed / predicted,
        limits[0],
        limits[1],
        mid_p_value(observed, predicted),
    )


@dataclass(frozen=True, slots=True)
class TwoRates:
    """The ratio of two rates; ``ratio`` is None where it is not finite.

    ``p_exact`` doubles the smaller tail, so it agrees with the exact limits;
    ``p_small`` sums all outcomes no likelier than the one seen, which other programs
    also call exact; ``p_mid`` is the doubled mid-P.
    """

    ratio: float | None
    exact: Limits
    mid_p: Limits
    p_exact: float
    p_mid: float
    p_small: float
    z: float


def compare_two_rates(
    x1: int, t1: float, x2: int, t2: float, level: float = LEVEL
) -> TwoRates:
    """Return the ratio of rate 1 to rate 2, given their sum of events.

    Parameters
    ----------
    x1, x2
        Events, 0 or more, together above 0.
    t1, t2
        Time at risk, above 0, in one unit.
    """
    from scipy.special import bdtr

    n, share = x1 + x2, t1 / (t1 + t2)
    below = float(bdtr(x1 - 1, n, share)) if x1 > 0 else 0.0
    at_most = float(bdtr(x1, n, share)) if x1 < n else 1.0
    point = at_most - below
    smaller = min(at_most, 1.0 - below)
    mid = min(below, 1.0 - at_most) + point / 2.0
    odds = t2 / t1
    return TwoRates(
        ratio=(x1 / t1) / (x2 / t2) if x2 else None,
        exact=_as_ratio(exact_share_limits(x1, n, level), odds),
        mid_p=_as_ratio(mid_p_share_limits(x1, n, level), odds),
        p_exact=min(1.0, 2.0 * smaller),
        p_mid=min(1.0, 2.0 * mid),
        p_small=_small_probabilities(x1, n, share),
        z=(x1 - n * share) / (n * share * (1.0 - share)) ** 0.5,
    )


def _as_ratio(share: Limits, odds: float) -> Limits:
    def mapped(p: float | None) -> float | None:
        return None if p is None or p >= 1.0 else p / (1.0 - p) * odds

    return Limits(mapped(share.low), mapped(share.high))


def _small_probabilities(x: int, n: int, share: float) -> float:
    from scipy.stats import binomtest

    return float(binomtest(x, n, share).pvalue)


def exact_share_limits(x: int, n: int, level: float = LEVEL) -> Limits:
    """Return Clopper-Pearson limits of x out of n."""
    from scipy.special import betaincinv

    alpha = tail(level)
    low = float(betaincinv(x, n - x + 1, alpha)) if x > 0 else 0.0
    high = float(betaincinv(x + 1, n - x, 1.0 - alpha)) if x < n else 1.0
    return Limits(low, high)


def mid_p_share_limits(x: int, n: int, level: float = LEVEL) -> Limits:
    """Return mid-P limits of x out of n; scipy has none."""
    from scipy.special import bdtr

    alpha = tail(level)

    def at_most(p: float) -> float:
        below = float(bdtr(x - 1, n, p)) if x > 0 else 0.0
        whole = float(bdtr(x, n, p)) if x < n else 1.0
        return (below + whole) / 2.0

    low = root(lambda p: 1.0 - at_most(p) - alpha, 0.0, x / n) if x > 0 else 0.0
    high = root(lambda p: at_most(p) - alpha, x / n, 1.0) if x < n else 1.0
    return Limits(low, high)
