"""Kaplan-Meier: the share that is still going on after a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lumenkeep.core.watch.survival.counted import Counted, Floats
from lumenkeep.core.watch.survival.limits import LEVEL, Estimate, log_log_limits

CLOSE = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A share over time, with log-log limits.

    Attributes
    ----------
    counted
        What it was estimated from.
    value, variance, low, high
        At each of ``counted.times`` and until the next, shape ``(n_times,)``.
    start
        The share before the first time.
    level
        Coverage of the limits.
    """

    counted: Counted
    value: Floats
    variance: Floats
    low: Floats
    high: Floats
    start: float
    level: float

    def at(self, time: float) -> Estimate:
        """Return the share after ``time``, events at that very time included."""
        return self._read(time, int(np.searchsorted(self._times, time, side="right")))

    def before(self, time: float) -> Estimate:
        """Return the share just before ``time``, events at that very time left out."""
        return self._read(time, int(np.searchsorted(self._times, time, side="left")))

    @property
    def _times(self) -> Floats:
        return self.counted.times

    def _read(self, time: float, passed: int) -> Estimate:
        """Return the share once the first ``passed`` times are over."""
        still = self.counted.still_at(time)
        if not still and not self.is_settled:
            # Nobody was watched that long: what happens then is not known.
            return Estimate(None, None, None, 0)
        value, variance = self.start, 0.0
        if passed:
            value, variance = self.value[passed - 1], self.variance[passed - 1]
        decided = float(self.counted.decided_before(time))
        low, high = log_log_limits(
            np.array([value]), np.array([variance]), np.array([decided]), self.level
        )
        return Estimate(float(value), float(low[0]), float(high[0]), still)

    @property
    def is_settled(self) -> bool:
        """Whether none was left waiting when watching ended."""
        return bool(self.counted.events[-1] == self.counted.at_risk[-1])


@dataclass(frozen=True, slots=True)
class Quantile:
    """The time by which a share has ended; None where it was not reached."""

    value: float | None
    low: float | None
    high: float | None


def kaplan_meier(counted: Counted, level: float = LEVEL) -> Curve:
    """Return the share still going on, any event counting as the end.

    Parameters
    ----------
    counted
        From `count`; events of all causes are taken together.
    level
        Coverage of the limits (Greenwood's variance, log-log).

    References
    ----------
    .. [1] E. L. Kaplan and P. Meier, Journal of the American Statistical Association 53
       (1958) 457-481; M. Greenwood, Reports on Public Health 33 (1926). From memory.
    """
    n, d = counted.at_risk, counted.events
    value = np.cumprod((n - d) / n, dtype=np.float64)
    # At the time the last one ends the term has no value, and the share is 0.
    term = np.divide(d, n * (n - d), out=np.zeros_like(n), where=n > d)
    variance = value**2 * np.cumsum(term)
    low, high = log_log_limits(value, variance, counted.decided, level)
    return Curve(counted, value, variance, low, high, 1.0, level)


def quantile(curve: Curve, share: float = 0.5) -> Quantile:
    """Return the first time by which ``share`` or more has ended, with its limits.

    Parameters
    ----------
    curve
        From `kaplan_meier`.
    share
        Between 0 and 1; 0.5 is the median.

    References
    ----------
    .. [1] R. Brookmeyer and J. Crowley, Biometrics 38 (1982) 29-41: the times at which
       the limits pass the share. From memory.
    """
    if not 0.0 < share < 1.0:
        raise ValueError("a share lies between 0 and 1")
    left = 1.0 - share
    times = curve.counted.times
    # Limits say nothing before the first event.
    begun = curve.value < 1.0
    return Quantile(
        _first(times, curve.value <= left + CLOSE),
        _first(times, (curve.low <= left + CLOSE) & begun),
        _first(times, (curve.high <= left + CLOSE) & begun),
    )


def _first(
    times: Floats, is_there: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> float | None:
    place = int(np.argmax(is_there))
    return float(times[place]) if is_there[place] else None
