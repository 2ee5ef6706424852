"""Funnel limits: how far a unit of a given size may lie from a target by chance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.outcomes.statistics.shrinkage import all_expected

if TYPE_CHECKING:
    from collections.abc import Sequence

SHARES = (0.001, 0.025, 0.975, 0.999)
WINSORISED = 0.1
SIGNIFICANT = 0.05


def proportion_limits(
    target: float, n: int, shares: Sequence[float] = SHARES
) -> tuple[float, ...]:
    """Return exact limits of a proportion of ``n`` about a target, interpolated.

    References
    ----------
    .. [1] D. J. Spiegelhalter, Statistics in Medicine 24 (2005) 1185-1202.
    """
    from scipy.stats import binom

    return tuple(_interpolated(binom(n, target), share) / n for share in shares)


def ratio_limits(
    predicted: float, shares: Sequence[float] = SHARES, target: float = 1.0
) -> tuple[float, ...]:
    """Return exact limits of a standardised ratio where so many were predicted.

    Raises
    ------
    ValueError
        Nothing was predicted: there is no ratio, and a NaN would lie inside any limit.
    """
    all_expected([predicted])
    from scipy.stats import poisson

    model = poisson(predicted * target)
    return tuple(_interpolated(model, share) / predicted for share in shares)


def _interpolated(model: Any, share: float) -> float:
    r = int(model.ppf(share))
    above, below = float(model.cdf(r)), float(model.cdf(r - 1))
    part = (above - share) / (above - below)
    return max(0.0, r - part)


@dataclass(frozen=True, slots=True)
class Dispersion:
    """How much more units vary than chance: phi, its winsorised form, and tau squared.

    ``widen`` says whether the limits should be widened at all.
    """

    z: tuple[float, ...]
    phi_raw: float
    phi: float
    tau_squared: float
    p: float
    widen: bool


def over_dispersion(
    observed: Sequence[float], predicted: Sequence[float]
) -> Dispersion:
    """Return the over-dispersion of standardised ratios.

    Parameters
    ----------
    observed, predicted
        Of each unit; predicted above 0.

    Notes
    -----
    The outer tenths of the z-scores are drawn in to linear-interpolated quantiles
    first; with few units that convention matters. Limits are widened only where phi
    is above 1 by more than chance (chi-square, one degree for each unit).

    Raises
    ------
    ValueError
        Nothing was predicted of a unit.
    """
    all_expected(predicted)
    import numpy as np
    from scipy.special import chdtrc

    o, e = np.asarray(observed, float), np.asarray(predicted, float)
    z = (o - e) / np.sqrt(e)
    low, high = np.quantile(z, [WINSORISED, 1.0 - WINSORISED])
    units = len(z)
    phi = float(np.mean(np.clip(z, low, high) ** 2))
    weights = e  # 1 / variance of a ratio about 1
    inside = float(weights.sum() - (weights**2).sum() / weights.sum())
    tau = max(0.0, (units * phi - (units - 1.0)) / inside) if inside > 0 else 0.0
    p = float(chdtrc(units, units * phi))
    return Dispersion(
        tuple(map(float, z)),
        float(np.mean(z**2)),
        phi,
        tau,
        p,
        phi > 1.0 and p < SIGNIFICANT,
    )
