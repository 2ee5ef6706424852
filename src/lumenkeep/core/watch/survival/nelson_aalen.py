"""Nelson-Aalen: the hazard summed up to a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lumenkeep.core.watch.survival.counted import Counted, Floats
from lumenkeep.core.watch.survival.limits import LEVEL, log_limits


@dataclass(frozen=True, slots=True, eq=False)
class SummedHazard:
    """The summed hazard at each of ``counted.times``, shape ``(n_times,)``."""

    counted: Counted
    value: Floats
    variance: Floats
    low: Floats
    high: Floats
    level: float


def nelson_aalen(
    counted: Counted, cause: int = 0, level: float = LEVEL
) -> SummedHazard:
    """Return the summed hazard of one cause, or of all (0).

    Parameters
    ----------
    counted
        From `count`.
    cause
        1 and up; 0 takes every event. Other causes are then as if still waiting.
    level
        Coverage of the limits (about the logarithm).

    Notes
    -----
    Ties count as they stand, ``d / n``; some programs smooth them, which gives other
    digits. The variance is ``d / n**2`` summed.

    References
    ----------
    .. [1] O. O. Aalen, Annals of Statistics 6 (1978) 701-726. From memory.
    """
    n = counted.at_risk
    d = counted.by_cause[cause - 1] if cause else counted.events
    value, variance = np.cumsum(d / n), np.cumsum(d / n**2)
    low, high = log_limits(value, variance, level)
    return SummedHazard(counted, value, variance, low, high, level)
