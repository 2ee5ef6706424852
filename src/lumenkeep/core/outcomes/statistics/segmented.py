"""Before and after a change of practice: segmented Poisson regression.

It asks whether the level or the trend of a rate changed at a known time, and allows
for more variation than chance. It does not know what else changed at that time; a
comparison ward is worth more than any refinement here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.interval import LEVEL, Limits, tail

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.floating]

FEWEST_PERIODS = 8
MOST_STEPS = 100
SETTLED = 1e-10  # rounding
TOO_FEW = "too few events on one side to tell level from trend"
FARTHEST = 10.0  # a rate changes e^10-fold in one step only where it runs to infinity
CAUTION = (
    "The comparison knows of no other change at that time, and of no season; "
    "{periods} periods with {events} events carry it."
)


@dataclass(frozen=True, slots=True)
class RatioEffect:
    """A ratio with its limits; 1 is no change."""

    ratio: float
    limits: Limits
    p: float


@dataclass(frozen=True, slots=True)
class Segmented:
    """What changed at the change of practice.

    ``dispersion`` is 1 where chance alone explains the variation; standard errors are
    widened by its root, never narrowed.
    """

    level: RatioEffect
    trend_before: RatioEffect | None
    trend_change: RatioEffect | None
    dispersion: float
    caution: str


def before_and_after(
    events: Sequence[int],
    line_days: Sequence[float],
    change_at: int,
    *,
    with_trend: bool = True,
    level: float = LEVEL,
) -> Segmented:
    """Return the change of level, and of trend, at a known period.

    Parameters
    ----------
    events, line_days
        Of each period, in order; line-days above 0.
    change_at
        Number of the first period of the new practice, counted from 1.
    with_trend
        Whether the rate may drift before, and drift otherwise after.

    Raises
    ------
    ValueError
        Too few periods, no event on one side, or so few that a trend through them
        runs to infinity: nothing could be told.
    """
    import numpy as np

    y, exposure = np.asarray(events, float), np.asarray(line_days, float)
    periods = len(y)
    after = np.arange(1, periods + 1) >= change_at
    if periods < FEWEST_PERIODS or after.all() or not after.any():
        raise ValueError(
            f"at least {FEWEST_PERIODS} periods, on both sides, are needed"
        )
    if y[after].sum() == 0 or y[~after].sum() == 0:
        raise ValueError("one side has no event")
    since = np.where(after, np.arange(1, periods + 1) - change_at, 0.0)
    columns = [np.ones(periods), after.astype(float)]
    if with_trend:
        columns += [np.arange(periods, dtype=float) - (change_at - 1.0), since]
    design = np.column_stack(columns)
    beta, covariance, mean = _fit(y, np.log(exposure), design)
    freedom = periods - design.shape[1]
    dispersion = float(((y - mean) ** 2 / mean).sum() / freedom)
    errors = np.sqrt(np.diag(covariance) * max(1.0, dispersion))
    effects = [
        _effect(float(b), float(s), freedom, level)
        for b, s in zip(beta, errors, strict=True)
    ]
    return Segmented(
        effects[1],
        effects[2] if with_trend else None,
        effects[-1] if with_trend else None,
        dispersion,
        CAUTION.format(periods=periods, events=int(y.sum())),
    )


def _fit(y: Array, offset: Array, design: Array) -> tuple[Array, Array, Array]:
    """Fit by iteratively reweighted least squares; scipy has no Poisson regression."""
    import numpy as np

    beta: Array = np.zeros(design.shape[1])
    beta[0] = np.log(y.sum() / np.exp(offset).sum())
    try:
        with np.errstate(all="raise"):
            return _climb(beta, y, offset, design)
    except (FloatingPointError, np.linalg.LinAlgError):
        raise ValueError(TOO_FEW) from None


def _climb(
    beta: Array, y: Array, offset: Array, design: Array
) -> tuple[Array, Array, Array]:
    import numpy as np

    for _ in range(MOST_STEPS):
        mean = np.exp(offset + design @ beta)
        working = design @ beta + (y - mean) / mean
        information = design.T @ (design * mean[:, None])
        following: Array = np.linalg.solve(information, design.T @ (mean * working))
        step = float(np.abs(following - beta).max())
        beta = following
        if not step < FARTHEST:
            break
        if step < SETTLED:
            mean = np.exp(offset + design @ beta)
            covariance: Array = np.linalg.inv(design.T @ (design * mean[:, None]))
            return beta, covariance, mean
    raise ValueError(TOO_FEW)


def _effect(beta: float, error: float, freedom: int, level: float) -> RatioEffect:
    from math import exp

    from scipy.special import stdtr, stdtrit

    reach = float(stdtrit(freedom, 1.0 - tail(level))) * error
    p = 2.0 * float(stdtr(freedom, -abs(beta / error)))
    return RatioEffect(exp(beta), Limits(exp(beta - reach), exp(beta + reach)), p)
