"""Segmented Poisson regression and the running sum, held to independent computations.

The regression is fitted a second time here by climbing its likelihood with no
derivative of ours (Nelder-Mead, then a numerical Hessian), on data of two kinds; the
running sum's run lengths are held to a simulation stored below.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import t as student

from lumenkeep.core.outcomes.statistics.cusum import poisson_cusum_run_length
from lumenkeep.core.outcomes.statistics.dispersion import (
    dispersion_p,
    varies_more_than_chance,
)
from lumenkeep.core.outcomes.statistics.segmented import before_and_after

pytestmark = pytest.mark.external

EVENTS = [6, 4, 7, 5, 8, 6, 9, 7, 3, 4, 2, 3, 1, 2, 2, 1]
LINE_DAYS = [
    812,
    790,
    845,
    801,
    830,
    799,
    861,
    822,
    805,
    840,
    798,
    815,
    777,
    820,
    833,
    790,
]
CHANGE = 9


def climbed(
    events: list[int], line_days: list[float], change: int
) -> tuple[np.ndarray, np.ndarray, float]:
    """Return coefficients, standard errors and Pearson dispersion by brute force."""
    y, n = np.array(events, float), np.array(line_days, float)
    when = np.arange(1, len(y) + 1)
    after = (when >= change).astype(float)
    design = np.column_stack(
        [np.ones(len(y)), after, when - change, after * (when - change)]
    )

    def loss(beta: np.ndarray) -> float:
        eta = design @ beta + np.log(n)
        return float(np.sum(np.exp(eta) - y * eta))

    start = np.array([math.log(y.sum() / n.sum()), 0.0, 0.0, 0.0])
    options = {"xatol": 1e-11, "fatol": 1e-13, "maxiter": 40000, "maxfev": 40000}
    best = start
    for _ in range(6):
        best = minimize(loss, best, method="Nelder-Mead", options=options).x
    size, step = len(best), 1e-4
    hessian = np.zeros((size, size))
    for i in range(size):
        for j in range(size):
            signs = [(a, b) for a in (1, -1) for b in (1, -1)]
            for a, b in signs:
                at = best.copy()
                at[i] += a * step
                at[j] += b * step
                hessian[i, j] += a * b * loss(at) / (4 * step * step)
    mean = np.exp(design @ best + np.log(n))
    spread = float(((y - mean) ** 2 / mean).sum() / (len(y) - size))
    return best, np.sqrt(np.diag(np.linalg.inv(hessian))), spread


@pytest.mark.parametrize("change", [CHANGE, 6])
def test_segmented_regression_against_a_climbed_likelihood(change: int) -> None:
    beta, errors, spread = climbed(EVENTS, LINE_DAYS, change)
    found = before_and_after(EVENTS, LINE_DAYS, change)
    reach = student.ppf(0.975, len(EVENTS) - 4) * math.sqrt(max(1.0, spread))

    assert found.dispersion == pytest.approx(spread, rel=1e-4)
    for effect, b, se in zip(
        (found.level, found.trend_before, found.trend_change),
        beta[1:],
        errors[1:],
        strict=True,
    ):
        assert effect is not None
        assert effect.ratio == pytest.approx(math.exp(b), rel=1e-4)
        assert effect.limits.low == pytest.approx(math.exp(b - reach * se), rel=1e-3)
        assert effect.limits.high == pytest.approx(math.exp(b + reach * se), rel=1e-3)


def test_an_over_dispersed_series_widens_the_limits_by_its_root() -> None:
    events = [n * (4 if k % 3 == 0 else 1) for k, n in enumerate(EVENTS)]
    beta, errors, spread = climbed(events, LINE_DAYS, CHANGE)
    found = before_and_after(events, LINE_DAYS, CHANGE)

    assert spread > 2
    width = student.ppf(0.975, len(events) - 4) * errors[1] * math.sqrt(spread)
    assert found.level.limits.high == pytest.approx(math.exp(beta[1] + width), rel=1e-3)


def test_a_trend_that_runs_to_infinity_is_refused() -> None:
    events = [2, 1, 0, 3, 1, 2, 0, 1, 5, 0, 0, 0, 0, 0, 0, 0]

    with pytest.raises(ValueError, match="too few events on one side"):
        before_and_after(events, [800.0] * 16, CHANGE)


@pytest.mark.parametrize(
    ("mean", "ratio", "h", "actual", "simulated", "error"),
    [
        # 4000 runs each, numpy 2.4 default_rng(7), in this order: mean and its error.
        (0.15, 2.0, 2.0, 1.0, 159.19, 2.32),
        (0.15, 2.0, 2.0, 2.0, 25.70, 0.31),
        (0.5, 2.0, 2.0, 1.0, 73.79, 1.12),
        (1.6, 2.0, 2.0, 1.0, 45.90, 0.70),
        (1.6, 2.0, 3.0, 1.0, 117.72, 1.79),
    ],
)
def test_the_running_sum_signals_as_often_as_in_a_simulation(
    mean: float, ratio: float, h: float, actual: float, simulated: float, error: float
) -> None:
    found = poisson_cusum_run_length(mean, ratio, h, actual=actual)

    assert abs(found - simulated) < 3 * error


def test_pearson_s_chi_square_of_equal_exposures_by_hand() -> None:
    # Counts 3, 9: mean 6, chi-square (9 + 9) / 6 = 3.0 on one degree: p 0.0833.
    assert dispersion_p([3, 9], [100.0, 100.0]) == pytest.approx(0.08326, abs=1e-5)
    assert not varies_more_than_chance([3, 9], [100.0, 100.0])
    assert varies_more_than_chance([2, 12], [100.0, 100.0])
    assert dispersion_p([0, 0], [1.0, 1.0]) == 1.0
