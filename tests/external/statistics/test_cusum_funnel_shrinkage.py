"""CUSUM, funnel limits and shrinkage, to the printed digits.

Marks as in `test_counts_and_ratios`.
"""

from __future__ import annotations

from random import Random

import pytest

from lumenkeep.core.outcomes.statistics.cusum import (
    competence_limits,
    competence_path,
    learning_cusum,
    monitoring_cusum,
    normal_cusum_run_length,
    poisson_cusum,
)
from lumenkeep.core.outcomes.statistics.funnel import (
    over_dispersion,
    proportion_limits,
    ratio_limits,
)
from lumenkeep.core.outcomes.statistics.segmented import before_and_after
from lumenkeep.core.outcomes.statistics.shrinkage import (
    posterior,
    posterior_mean,
    shrink,
    shrink_by_moments,
)

pytestmark = pytest.mark.external


def attempts(path: str) -> list[bool]:
    """Return attempts from letters: F for a failure."""
    return [letter == "F" for letter in path.replace(" ", "")]


def test_normal_cusum() -> None:
    """Montgomery's table (memory: 168 and 8.38); computed by Brook and Evans."""
    assert round(normal_cusum_run_length(0.5, 4.0), 2) == 167.68
    assert round(normal_cusum_run_length(0.5, 4.0, 1.0), 3) == 8.383
    one = normal_cusum_run_length(0.5, 4.0, two_sided=False)
    assert round(one, 2) in (335.36, 335.37)


@pytest.mark.parametrize(
    ("p0", "p1", "s", "h", "clean"),
    [
        (0.05, 0.10, 0.0724, 2.9406, 41),  # Kestin 1995, rates seen
        (0.10, 0.20, 0.1452, 2.7095, 19),  # Kestin 1995, rates seen
        (0.20, 0.40, 0.2933, 2.2402, 8),  # Kestin 1995; 40 % memory
        (0.05, 0.15, 0.0919, 1.8161, 20),  # another paper, rates seen
    ],
)
def test_competence_limits(
    p0: float, p1: float, s: float, h: float, clean: int
) -> None:
    found = competence_limits(p0, p1)

    assert round(found.s, 4) == s
    assert round(found.h0, 4) == h
    assert round(found.h1, 4) == h
    assert found.clean_run == clean


def test_competence_limits_of_unequal_errors() -> None:
    """Computed."""
    found = competence_limits(0.05, 0.10, 0.05, 0.20)

    assert (round(found.h0, 4), round(found.h1, 4)) == (2.0853, 3.7106)


def test_competence_path() -> None:
    """Computed."""
    s = competence_limits(0.05, 0.10).s
    path = competence_path(attempts("SSSFSSSSFS"), s)

    assert [round(x, 4) for x in path] == [
        -0.0724, -0.1447, -0.2171, 0.7106, 0.6382, 0.5658, 0.4935, 0.4211, 1.3488, 1.2764
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("p0", "p1", "success", "failure"),
    [
        (0.10, 0.20, 0.11778, -0.69315),
        (0.10, 0.25, 0.18232, -0.91629),
        (0.05, 0.15, 0.11123, -1.09861),
    ],
)
def test_weights_of_the_learning_cusum(
    p0: float, p1: float, success: float, failure: float
) -> None:
    """Biau and Porcher 2010; values computed."""
    found = learning_cusum([], p0, p1, 1.25)

    assert (round(found.success, 5), round(found.failure, 5)) == (success, failure)


def test_path_of_the_learning_cusum() -> None:
    """Computed: the path is tested, since papers differ in sign."""
    found = learning_cusum(attempts("SSFSSSSF" + "S" * 12), 0.10, 0.20, 1.25)

    assert [round(x, 4) for x in found.values[:9]] == [
        0.1178, 0.2356, 0.0, 0.1178, 0.2356, 0.3533, 0.4711, 0.0, 0.1178
    ]  # fmt: skip
    assert found.signal == 19
    assert round(found.values[18], 4) == 1.2956


@pytest.mark.parametrize(
    ("p0", "p1", "h", "mean", "by_50"),
    [
        (0.10, 0.20, 1.25, (20, 48), (0.97, 0.66)),
        (0.10, 0.20, 2.0, (37, 144), (0.80, 0.24)),
        (0.10, 0.25, 1.25, (11, 25), (1.00, 0.90)),
        (0.10, 0.25, 2.0, (20, 77), (0.98, 0.46)),
        (0.05, 0.15, 1.25, (17, 40), (0.99, 0.74)),
    ],
)
@pytest.mark.timeout(60)
def test_learners_reach_the_limit_as_simulated(
    p0: float, p1: float, h: float, mean: tuple, by_50: tuple
) -> None:
    """Simulated beforehand; simulated again here, within what chance allows."""
    random = Random(5)  # noqa: S311 - a simulation, not a secret
    for rate, attempts_needed, share in zip((p0, p1), mean, by_50, strict=True):
        needed = []
        for _ in range(1500):
            failures = [random.random() < rate for _ in range(1200)]
            signal = learning_cusum(failures, p0, p1, h).signal
            needed.append(signal or 1200)
        assert sum(needed) / 1500 == pytest.approx(attempts_needed, rel=0.12, abs=1)
        within = sum(n <= 50 for n in needed) / 1500
        assert within == pytest.approx(share, abs=0.04)


def test_path_of_the_monitoring_cusum() -> None:
    """Computed."""
    found = monitoring_cusum(attempts("SFSSFSFFSS"), 0.10, 0.20, 2.0)

    assert [round(x, 4) for x in found.values[:8]] == [
        0.0, 0.6931, 0.5754, 0.4576, 1.1507, 1.0329, 1.7261, 2.4192
    ]  # fmt: skip
    assert found.signal == 8


def test_path_of_the_rate_cusum() -> None:
    """By hand: each event adds ln 2, each expected one takes 1 away, floor 0."""
    found = poisson_cusum([1, 3, 4], [1.0, 1.0, 1.0], 2.0, 2.0)

    assert [round(x, 4) for x in found.values] == [0.0, 1.0794, 2.8520]
    assert found.signal == 3


@pytest.mark.parametrize(
    ("target", "n", "printed"),
    [
        (0.10, 50, (0.0, 0.01386, 0.17972, 0.24013)),
        (0.074, 100, (0.00148, 0.02169, 0.12465, 0.16070)),
        (0.05, 200, (0.00654, 0.01958, 0.07971, 0.10118)),
        (0.02, 500, (0.00251, 0.00766, 0.03212, 0.04102)),
    ],
)
def test_funnel_of_proportions(target: float, n: int, printed: tuple) -> None:
    """Spiegelhalter 2005 (formula from memory); values computed."""
    assert tuple(round(x, 5) for x in proportion_limits(target, n)) == printed


@pytest.mark.parametrize(
    ("e", "printed"),
    [
        (1, (0.0, 0.0, 2.90195, 4.86763)),
        (2, (0.0, 0.0, 2.38312, 3.55628)),
        (5, (0.0, 0.10841, 1.87531, 2.55427)),
        (10, (0.12205, 0.37752, 1.61600, 2.06620)),
        (50, (0.58246, 0.72243, 1.27661, 1.45503)),
    ],
)
def test_funnel_of_ratios(e: float, printed: tuple) -> None:
    """Computed."""
    assert tuple(round(x, 5) for x in ratio_limits(e)) == printed


EIGHT_O = [0, 1, 2, 5, 3, 9, 1, 4]
EIGHT_E = [1.2, 2.5, 1.1, 3.9, 3.0, 4.2, 3.6, 2.5]


def test_over_dispersion() -> None:
    """Computed; data made up."""
    found = over_dispersion(EIGHT_O, EIGHT_E)

    assert [round(z, 4) for z in found.z] == [
        -1.0954, -0.9487, 0.8581, 0.5570, 0.0, 2.3422, -1.3703, 0.9487
    ]  # fmt: skip
    assert round(found.phi_raw, 4) == 1.4263
    assert round(found.phi, 4) == 0.9128
    assert not found.widen


PUMPS = [5, 1, 5, 14, 3, 19, 1, 1, 4, 22]
HOURS = [94.320, 15.720, 62.880, 125.760, 5.240, 31.440, 1.048, 1.048, 2.096, 10.480]


def test_shrinkage_of_pumps() -> None:
    """Gaver and O'Muircheartaigh 1987 (memory: data and prior); means computed."""
    found = shrink(PUMPS, HOURS)

    assert (round(found.a, 4), round(found.b, 4)) == (0.8223, 1.2590)
    assert round(found.log_likelihood, 4) == -32.2631
    assert [round(m, 4) for m in found.means] == [
        0.0609, 0.1073, 0.0908, 0.1167, 0.5881, 0.6062, 0.7899, 0.7899, 1.4374, 1.9441
    ]  # fmt: skip
    raw = [round(x / t, 4) for x, t in zip(PUMPS, HOURS, strict=True)]
    assert raw == [
        0.0530, 0.0636, 0.0795, 0.1113, 0.5725, 0.6043, 0.9542, 0.9542, 1.9084, 2.0992
    ]  # fmt: skip


def test_shrinkage_by_moments() -> None:
    """Marshall 1991; values computed."""
    mean, between, estimates = shrink_by_moments(PUMPS, HOURS)

    assert (round(mean, 5), round(between, 5)) == (0.21427, 0.15141)
    assert [round(x, 4) for x in estimates] == [
        0.0554, 0.0761, 0.0825, 0.1125, 0.4963, 0.5875, 0.5291, 0.5291, 1.2256, 1.8750
    ]  # fmt: skip


def test_shrinkage_of_eight_units() -> None:
    """Computed; data made up."""
    found = shrink(EIGHT_O, EIGHT_E)

    assert (round(found.a, 3), round(found.b, 3)) == (8.551, 7.665)
    assert [round(m, 4) for m in found.means] == [
        0.9645, 0.9395, 1.2037, 1.1717, 1.0830, 1.4792, 0.8478, 1.2347
    ]  # fmt: skip


def test_shrinkage_with_a_fixed_prior() -> None:
    """Computed."""
    means = [posterior_mean(o, e, 2, 2) for o, e in zip(EIGHT_O, EIGHT_E, strict=True)]
    limits, above = posterior(9, 4.2, 2, 2)

    assert [round(m, 4) for m in means] == [
        0.6250, 0.6667, 1.2903, 1.1864, 1.0000, 1.7742, 0.5357, 1.3333
    ]  # fmt: skip
    assert (round(limits.low or 0, 4), round(limits.high or 0, 4)) == (0.8857, 2.9662)
    assert round(above, 4) == 0.9486


def test_units_alike_are_drawn_wholly_to_the_mean() -> None:
    found = shrink([10, 10, 10, 10], [10.0, 10.0, 10.0, 10.0])

    assert found.is_alike
    assert found.means == (1.0, 1.0, 1.0, 1.0)


def test_before_and_after_without_trend_is_the_ratio_of_rates() -> None:
    """Closed form: ratio of the two rates, variance the sum of the reciprocal counts."""
    events = [4, 6, 5, 5, 2, 3, 2, 3]
    found = before_and_after(events, [1000.0] * 8, 5, with_trend=False)

    assert found.level.ratio == pytest.approx((10 / 4000) / (20 / 4000))
    assert found.dispersion < 1.0
    wide = found.level.limits
    from math import log

    from scipy.stats import t

    error = (log(wide.high) - log(wide.low)) / 2 / t.ppf(0.975, 6)
    assert error == pytest.approx((1 / 20 + 1 / 10) ** 0.5)


def test_a_drop_is_told_from_a_drift() -> None:
    before = [10 + i for i in range(8)]
    after = [round((18 + i) / 2) for i in range(8)]
    found = before_and_after(before + after, [1000.0] * 16, 9)

    assert 0.35 < found.level.ratio < 0.7
    assert found.trend_change is not None
