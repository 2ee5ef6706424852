"""Aalen-Johansen: the share that has ended by one cause, when others may come first.

One minus Kaplan-Meier of a cause, with the other ends taken as still waiting, answers
another question (what if nothing else ended them) and always says more.
"""

from __future__ import annotations

import numpy as np

from lumenkeep.watch.survival.counted import (
    CENSORED,
    Counted,
    Floats,
    Numbers,
    Wholes,
    checked,
)
from lumenkeep.watch.survival.kaplan_meier import Curve
from lumenkeep.watch.survival.limits import LEVEL, log_log_limits


def cumulative_incidence(counted: Counted, cause: int, level: float = LEVEL) -> Curve:
    """Return the share that has ended by ``cause`` over time.

    Parameters
    ----------
    counted
        From `count`, with every cause.
    cause
        1 and up.
    level
        Coverage of the limits (log-log).

    Notes
    -----
    The variance is the delta-method one, which with a single cause is Greenwood's. Its
    double sums are taken as running sums, so that the cost is that of the times.

    References
    ----------
    .. [1] O. O. Aalen and S. Johansen, Scandinavian Journal of Statistics 5 (1978)
       141-150; E. Marubini and M. G. Valsecchi, Analysing Survival Data from Clinical
       Trials and Observational Studies (1995), for the variance. From memory.
    """
    value, survival_before = _incidence(counted, cause)
    n, d, k = counted.at_risk, counted.events, counted.by_cause[cause - 1]
    all_ends = np.divide(d, n * (n - d), out=np.zeros_like(n), where=n > d)
    own = survival_before * k / n**2
    squares = (
        value**2 * np.cumsum(all_ends)
        - 2.0 * value * np.cumsum(value * all_ends)
        + np.cumsum(value**2 * all_ends)
    )
    crossed = value * np.cumsum(own) - np.cumsum(value * own)
    variance = squares + np.cumsum(survival_before * own * (n - k) / n) - 2.0 * crossed
    # Running sums leave a rounding error where the true value is 0.
    variance = np.maximum(variance, 0.0)
    low, high = log_log_limits(value, variance, counted.decided, level)
    return Curve(counted, value, variance, low, high, 0.0, level)


def _incidence(counted: Counted, cause: int) -> tuple[Floats, Floats]:
    n = counted.at_risk
    survival = np.cumprod((n - counted.events) / n)
    before = np.concatenate(([1.0], survival[:-1]))
    return np.cumsum(before * counted.by_cause[cause - 1] / n), before


def clustered_variance(
    times: Numbers, causes: Numbers, clusters: Wholes, cause: int, time: float
) -> float:
    """Return the variance of the incidence just before ``time`` when some belong together.

    Several dressings of one line are alike, so that each tells less than one of
    another line; the usual variance does not know that. What each adds to the estimate
    is summed by cluster before it is squared (the infinitesimal jackknife).

    Parameters
    ----------
    times, causes
        As for `count`, shape ``(n,)``.
    clusters
        Which cluster each belongs to, whole numbers from 0, shape ``(n,)``.
    cause
        1 and up.
    time
        Events at this very time are left out.

    References
    ----------
    .. [1] L. A. Jaeckel, The infinitesimal jackknife, Bell Laboratories Memorandum
       (1972); the influence function by the delta method. From memory.
    """
    lasted, ended = checked(times, causes)
    early = np.where(lasted < time, ended, CENSORED)
    order = np.argsort(lasted, kind="stable")
    lasted, early, cluster = lasted[order], early[order], np.asarray(clusters)[order]
    at_risk = len(lasted) - np.searchsorted(lasted, lasted, side="left")
    distinct, first, inverse = np.unique(lasted, return_index=True, return_inverse=True)
    n = at_risk[first].astype(np.float64)
    d = np.bincount(inverse, weights=early != CENSORED, minlength=len(distinct))
    k = np.bincount(inverse, weights=early == cause, minlength=len(distinct))
    survival = np.cumprod((n - d) / n)
    before = np.concatenate(([1.0], survival[:-1]))
    value = np.cumsum(before * k / n)
    rest = np.where(n > d, (value[-1] - value) * n / np.maximum(n - d, 1.0), 0.0)
    # What was expected of everybody at risk, up to each time.
    expected = np.cumsum((before * k - rest * d) / n**2)
    seen = (
        before[inverse] * (early == cause) - rest[inverse] * (early != CENSORED)
    ) / n[inverse]
    influence = seen - expected[inverse]
    by_cluster = np.bincount(cluster, weights=influence)
    return float(by_cluster @ by_cluster)
