"""Aalen-Johansen: the share that has ended by one cause, when others may come first.

One minus Kaplan-Meier of a cause, with the other ends taken as still waiting, answers
another question (what if nothing else ended them) and always says more.
"""

from __future__ import annotations

import numpy as np

from lumenkeep.core.watch.survival.counted import (
    CENSORED,
    Counted,
    Floats,
    Numbers,
    Wholes,
    checked,
    distinct_times,
)
from lumenkeep.core.watch.survival.kaplan_meier import Curve
from lumenkeep.core.watch.survival.limits import LEVEL, log_log_limits


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


class Clustered:
    """The variance of an incidence when some belong together.

    Several dressings of one child are alike, so that each tells less than one of
    another child; the usual variance does not know that. What each adds to the estimate
    is summed by cluster before it is squared (the infinitesimal jackknife).

    Parameters
    ----------
    times, causes
        As for `count`, shape ``(n,)``.
    clusters
        Which cluster each belongs to, whole numbers from 0, shape ``(n,)``.
    cause
        1 and up.

    References
    ----------
    .. [1] L. A. Jaeckel, The infinitesimal jackknife, Bell Laboratories Memorandum
       (1972); the influence function by the delta method. From memory.
    """

    def __init__(
        self, times: Numbers, causes: Numbers, clusters: Wholes, cause: int
    ) -> None:
        lasted, ended = checked(times, causes)
        self._times, self._place = distinct_times(lasted)
        self._own, self._any = ended == cause, ended != CENSORED
        self._cluster = np.asarray(clusters)
        width = len(self._times)
        gone = np.bincount(self._place, minlength=width)
        self._n = (len(lasted) - np.cumsum(gone) + gone).astype(np.float64)
        self._d = np.bincount(self._place, self._any, width)
        self._k = np.bincount(self._place, self._own, width)
        survival = np.cumprod((self._n - self._d) / self._n)
        self._before = np.concatenate(([1.0], survival[:-1]))
        self._value = np.cumsum(self._before * self._k / self._n)

    def variance_before(self, time: float) -> float:
        """Return the variance just before ``time``: events at it are left out."""
        passed = int(np.searchsorted(self._times, time, side="left"))
        if not passed:
            return 0.0
        n, d = self._n[:passed], self._d[:passed]
        before, value = self._before[:passed], self._value[:passed]
        rest = np.where(n > d, (value[-1] - value) * n / np.maximum(n - d, 1.0), 0.0)
        # What was expected of everybody at risk, up to each time; later nothing more.
        expected = np.cumsum((before * self._k[:passed] - rest * d) / n**2)
        place = np.minimum(self._place, passed - 1)
        is_past = self._place < passed
        seen = before[place] * self._own - rest[place] * self._any
        influence = is_past * seen / n[place] - expected[place]
        by_cluster = np.bincount(self._cluster, weights=influence)
        return float(by_cluster @ by_cluster)
