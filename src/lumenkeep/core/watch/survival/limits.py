"""Limits of a share that was estimated with some still waiting.

The kind chosen is log-log: symmetric about ``log(-log share)``, so that limits never
leave 0 to 1 and hold their coverage in small groups, where plain ones do not. Where the
share is exactly 0 or 1 that has no value; then the exact binomial limit stands in, of
those alone of whom it is known whether they had ended by then: never a false certainty.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from lumenkeep.core.watch.survival.counted import Floats

LEVEL = 0.95
KIND = "log-log"


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its limits; None where it cannot be judged.

    ``at_risk`` is how many were still going on just before the time asked about.
    """

    value: float | None
    low: float | None
    high: float | None
    at_risk: int


@lru_cache(maxsize=32)
def normal_quantile(level: float) -> float:
    """Return how many standard errors hold ``level`` of a normal distribution.

    Raises
    ------
    ValueError
        The level is not between 0 and 1.
    """
    from scipy.special import ndtri

    if not 0.0 < level < 1.0:
        raise ValueError("a level lies between 0 and 1")
    return float(ndtri((1.0 + level) / 2.0))


def log_log_limits(
    share: Floats, variance: Floats, decided: Floats, level: float = LEVEL
) -> tuple[Floats, Floats]:
    """Return lower and upper limits of shares.

    Parameters
    ----------
    share
        Between 0 and 1, shape ``(n,)``.
    variance
        Of each share, shape ``(n,)``.
    decided
        Of how many it is known whether they had ended by then, shape ``(n,)``.
    level
        Coverage, between 0 and 1.

    References
    ----------
    .. [1] J. D. Kalbfleisch and R. L. Prentice, The Statistical Analysis of Failure
       Time Data (1980), for survival; J. B. Choudhury, Statistics in Medicine 21
       (2002) 1129-1144, for cumulative incidence. Both from memory.
    """
    z = normal_quantile(level)
    inside = (share > 0.0) & (share < 1.0)
    safe = np.where(inside, share, 0.5)
    spread = np.sqrt(np.maximum(variance, 0.0)) / (safe * np.abs(np.log(safe)))
    # A share may run to a limit so fast that the power overflows: it is then 0 or 1.
    with np.errstate(over="ignore", under="ignore"):
        low = safe ** np.exp(z * spread)
        high = safe ** np.exp(-z * spread)
    reach = ((1.0 - level) / 2.0) ** (1.0 / np.maximum(decided, 1.0))
    reach = np.where(decided > 0, reach, 0.0)
    low = np.where(share >= 1.0, reach, np.where(share <= 0.0, 0.0, low))
    high = np.where(share <= 0.0, 1.0 - reach, np.where(share >= 1.0, 1.0, high))
    return low, high


def log_limits(
    total: Floats, variance: Floats, level: float = LEVEL
) -> tuple[Floats, Floats]:
    """Return limits of a sum above 0, symmetric about its logarithm; 0 stays 0."""
    z = normal_quantile(level)
    safe = np.where(total > 0.0, total, 1.0)
    factor = np.exp(z * np.sqrt(np.maximum(variance, 0.0)) / safe)
    return (
        np.where(total > 0.0, safe / factor, 0.0),
        np.where(total > 0.0, safe * factor, 0.0),
    )
