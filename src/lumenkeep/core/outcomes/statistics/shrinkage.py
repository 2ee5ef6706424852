"""Small wards drawn towards the others: gamma-Poisson shrinkage of ratios and rates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.interval import LEVEL, Limits, tail

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST_ALIKE = 1e6
TRUE_TO = 1e-12
"""How little the likelihood of a unit may still rise. Not of all units: the sum over a
thousand holds fewer figures than that, and the search would never come to rest."""


def all_expected(expected: Sequence[float]) -> None:
    """Check that something was expected of every unit.

    Raises
    ------
    ValueError
        Nothing was: there is no ratio, and a NaN would read as none too far.
    """
    if not all(one > 0 for one in expected):
        raise ValueError("a unit of which nothing is expected has no ratio")


@dataclass(frozen=True, slots=True)
class Shrunk:
    """The prior that the units share, and each unit's estimate.

    ``is_alike`` says that the units vary no more than chance; each is then the mean.
    """

    a: float
    b: float
    log_likelihood: float
    means: tuple[float, ...]
    is_alike: bool


def posterior_mean(observed: float, expected: float, a: float, b: float) -> float:
    """Return a unit's estimate under a gamma prior of shape ``a`` and rate ``b``."""
    return (a + observed) / (b + expected)


def posterior(
    observed: float, expected: float, a: float, b: float, level: float = LEVEL
) -> tuple[Limits, float]:
    """Return the limits of a unit's estimate, and the chance that it is above 1."""
    from scipy.special import gammaincc, gammaincinv

    shape, rate, alpha = a + observed, b + expected, tail(level)
    limits = Limits(
        float(gammaincinv(shape, alpha)) / rate,
        float(gammaincinv(shape, 1.0 - alpha)) / rate,
    )
    return limits, float(gammaincc(shape, rate))


def shrink(observed: Sequence[float], expected: Sequence[float]) -> Shrunk:
    """Return each unit's estimate, with the prior found by maximum likelihood.

    Parameters
    ----------
    observed, expected
        Events, and expected events or time at risk, of each unit.

    Raises
    ------
    ValueError
        Nothing was expected of a unit: it has no ratio to be drawn anywhere.
    """
    all_expected(expected)
    import numpy as np
    from scipy.optimize import minimize
    from scipy.special import gammaln

    o, e = np.asarray(observed, float), np.asarray(expected, float)

    def log_likelihood(a: float, b: float) -> float:
        return float(
            np.sum(
                gammaln(a + o)
                - gammaln(a)
                - gammaln(o + 1.0)
                + a * (np.log(b) - np.log(b + e))
                + o * (np.log(e) - np.log(b + e))
            )
        )

    overall = float(o.sum() / e.sum())

    def loss(at: np.ndarray) -> float:
        a = float(np.exp(at[0]))
        return -log_likelihood(a, a / float(np.exp(at[1]))) / len(o)

    best = min(
        (
            minimize(
                loss,
                np.array([start, np.log(max(overall, 1e-9))]),
                method="Nelder-Mead",
                options={"xatol": 1e-10, "fatol": TRUE_TO, "maxiter": 20000},
                bounds=[(-20.0, np.log(MOST_ALIKE)), (-30.0, 30.0)],
            )
            for start in (-1.0, 1.0, 3.0)
        ),
        key=lambda found: float(found.fun),
    )
    a = float(np.exp(best.x[0]))
    b = a / float(np.exp(best.x[1]))
    is_alike = a > MOST_ALIKE / 10.0
    means = tuple(
        overall if is_alike else posterior_mean(float(x), float(t), a, b)
        for x, t in zip(o, e, strict=True)
    )
    return Shrunk(a, b, log_likelihood(a, b), means, is_alike)


def shrink_by_moments(
    observed: Sequence[float], expected: Sequence[float]
) -> tuple[float, float, tuple[float, ...]]:
    """Return overall rate, variance between units, and each unit's estimate.

    References
    ----------
    .. [1] R. J. Marshall, Applied Statistics 40 (1991) 283-294.
    """
    all_expected(expected)
    total, time = sum(observed), sum(expected)
    mean = total / time
    rates = [x / t for x, t in zip(observed, expected, strict=True)]
    spread = sum(
        t * (rate - mean) ** 2 for rate, t in zip(rates, expected, strict=True)
    )
    between = max(0.0, spread / time - mean / (time / len(rates)))
    estimates = tuple(
        mean + between / (between + mean / t) * (rate - mean) if between else mean
        for rate, t in zip(rates, expected, strict=True)
    )
    return mean, between, estimates
