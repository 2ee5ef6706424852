"""Kappa, control charts, run rules and rare-event charts, to the printed digits.

Marks as in `test_counts_and_ratios`.
"""

from __future__ import annotations

import pytest

from lumenkeep.core.outcomes.statistics.agreement import cohen_kappa, fleiss_kappa
from lumenkeep.core.outcomes.statistics.charts import c_chart, p_chart, u_chart
from lumenkeep.core.outcomes.statistics.rare_events import g_chart, t_chart
from lumenkeep.core.outcomes.statistics.run_rules import (
    BEYOND_3,
    FOUR_OF_5,
    ONE_SIDE,
    TWO_OF_3,
    average_run_length,
    false_signal_chance,
    signals,
)

pytestmark = pytest.mark.external

COHEN = [[88, 14, 18], [10, 40, 10], [2, 6, 12]]
FLEISS_PAIR = [[75, 1, 4], [5, 4, 1], [0, 0, 10]]
FLEISS = [
    [0, 0, 0, 0, 14],
    [0, 2, 6, 4, 2],
    [0, 0, 3, 5, 6],
    [0, 3, 9, 2, 0],
    [2, 2, 8, 1, 1],
    [7, 7, 0, 0, 0],
    [3, 2, 6, 3, 0],
    [2, 5, 3, 2, 2],
    [6, 5, 2, 1, 0],
    [0, 2, 2, 3, 7],
]


@pytest.mark.parametrize(
    ("table", "observed", "chance", "kappa", "se", "se_null"),
    [
        (
            [[20, 5], [10, 15]],
            0.70,
            0.50,
            0.4000,
            0.1270,
            0.1386,
        ),  # memory; se computed
        (COHEN, 0.700, 0.410, 0.4915, 0.0510, None),  # Cohen 1960, memory
        (FLEISS_PAIR, 0.89, 0.66, 0.6765, 0.0877, 0.0762),  # Fleiss and others, memory
    ],
)
def test_kappa_of_two(
    table: list,
    observed: float,
    chance: float,
    kappa: float,
    se: float,
    se_null: float | None,
) -> None:
    found = cohen_kappa(table)

    assert found.observed == pytest.approx(observed)
    assert found.by_chance == pytest.approx(chance)
    assert round(found.kappa or 0.0, 4) == kappa
    assert round(found.se or 0.0, 4) == se
    assert se_null is None or round(found.se_null or 0.0, 4) == se_null


def test_weighted_kappa() -> None:
    """Computed."""
    found = cohen_kappa(FLEISS_PAIR)

    assert round(found.linear or 0.0, 4) == 0.7222
    assert round(found.quadratic or 0.0, 4) == 0.7553


def test_kappa_of_many() -> None:
    """Fleiss 1971: kappa published, the shares from memory; error computed."""
    found = fleiss_kappa(FLEISS)

    assert round(found.kappa or 0.0, 5) == 0.20993
    assert round(found.observed, 5) == 0.37802
    assert round(found.by_chance, 5) == 0.21276
    assert round(found.se_null or 0.0, 5) == 0.01697
    shares = [sum(row[j] for row in FLEISS) / 140 for j in range(5)]
    assert [round(s, 4) for s in shares] == [0.1429, 0.2, 0.2786, 0.15, 0.2286]


def test_one_category_only_has_no_kappa() -> None:
    assert cohen_kappa([[12, 0], [0, 0]]).kappa is None
    assert fleiss_kappa([[3, 0], [3, 0]]).kappa is None


def test_the_trap_of_kappa_is_named() -> None:
    found = cohen_kappa([[95, 2], [2, 1]])

    assert found.observed > 0.95
    assert found.caution is not None


CANS = [
    12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22,
    8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6,
]  # fmt: skip
BOARDS = [
    21, 24, 16, 12, 15, 5, 28, 20, 31, 25, 20, 24, 16,
    19, 10, 17, 13, 22, 18, 39, 30, 24, 16, 19, 17, 15,
]  # fmt: skip
VALVES = [
    286, 948, 536, 124, 816, 729, 4, 143, 431, 8,
    2837, 596, 81, 227, 603, 492, 1199, 1214, 2831, 96,
]  # fmt: skip
GAPS = [12, 45, 3, 27, 60, 8, 31, 19, 74, 5, 22, 38]


def test_p_chart() -> None:
    """Montgomery, juice cans (memory)."""
    assert sum(CANS) == 347
    chart = p_chart(CANS, [50] * 30)
    kept = [n for i, n in enumerate(CANS, 1) if i not in (15, 23)]
    again = p_chart(kept, [50] * 28)

    assert round(chart.centre, 5) == 0.23133
    assert round(chart.points[0].high, 5) == 0.41024
    assert round(chart.points[0].low, 5) == 0.05243
    assert chart.out() == (15, 23)
    assert round(again.centre, 4) == 0.2150
    assert round(again.points[0].high, 5) == 0.38930
    assert round(again.points[0].low, 5) == 0.04070


def test_c_chart() -> None:
    """Montgomery, circuit boards (memory)."""
    assert sum(BOARDS) == 516
    chart = c_chart(BOARDS)

    assert round(chart.centre, 3) == 19.846
    assert round(chart.points[0].high, 3) == 33.211
    assert round(chart.points[0].low, 3) == 6.481
    assert chart.out() == (6, 20)


def test_u_chart() -> None:
    """Montgomery, supply chain (memory): 74 errors in 20 samples of 50."""
    chart = u_chart([74, *[0] * 19], [50] * 20)

    assert round(chart.centre, 4) == 0.0740
    assert round(chart.points[0].high, 5) == 0.18941
    assert chart.points[0].low == 0.0


def test_p_chart_of_unequal_sizes() -> None:
    """Montgomery, purchase orders (memory; the samples sum to the printed 234 of 2450)."""
    orders = [
        12, 8, 6, 9, 10, 12, 11, 16, 10, 6, 20, 15, 9,
        8, 6, 8, 10, 7, 5, 8, 5, 8, 10, 6, 9,
    ]  # fmt: skip
    sizes = [
        100, 80, 80, 100, 110, 110, 100, 100, 90, 90, 110, 120, 120,
        120, 110, 80, 80, 80, 90, 100, 100, 100, 100, 90, 90,
    ]  # fmt: skip
    chart = p_chart(orders, sizes)
    spread = (chart.centre * (1 - chart.centre) / 110) ** 0.5

    assert (sum(orders), sum(sizes)) == (234, 2450)
    assert round(chart.centre, 5) == 0.09551
    assert chart.out() == (11,)
    assert round((20 / 110 - chart.centre) / spread, 4) == 3.0798
    assert round(p_chart(orders, sizes, laney=True).sigma_z, 4) == 0.9657


def test_u_chart_of_infections() -> None:
    """Computed; data made up."""
    events = [3, 1, 0, 2, 4, 1, 2, 0, 1, 3, 2, 1]
    days = [612, 580, 541, 633, 702, 655, 598, 571, 640, 688, 660, 620]
    chart = u_chart(events, days)

    assert (sum(events), sum(days)) == (20, 7500)
    assert round(chart.centre * 1000, 4) == 2.6667
    assert round(chart.points[0].high * 1000, 4) == 8.9289
    assert round(chart.points[-1].high * 1000, 4) == 8.8884
    assert all(point.low == 0.0 for point in chart.points)


def test_laneys_correction() -> None:
    """Computed; data made up."""
    counts = [21, 34, 18, 40, 25, 15, 38, 29, 44, 20, 31, 17]
    units = [9.8, 10.4, 9.5, 11.0, 10.1, 9.2, 10.8, 10.0, 11.3, 9.7, 10.2, 9.9]
    plain, corrected = u_chart(counts, units), u_chart(counts, units, laney=True)

    assert round(plain.centre, 5) == 2.72354
    assert round(corrected.sigma_z, 5) == 2.16895
    first = plain.points[0]
    assert (round(first.low, 4), round(first.high, 4)) == (1.1420, 4.3051)
    assert corrected.points[0].low == 0.0
    assert round(corrected.points[0].high, 4) == 6.1538


def test_t_chart() -> None:
    """Montgomery, valve failures (memory)."""
    chart = t_chart(VALVES)
    printed = {0: 4.80986, 1: 6.70903, 2: 5.72650, 19: 3.55203}

    for place, value in printed.items():
        assert round(chart.transformed[place], 5) == value
    assert any(round(y, 5) in (9.09618, 9.09619) for y in chart.transformed)
    assert round(chart.centre, 5) == 5.38662
    assert round(chart.mean_range, 5) == 2.35921
    assert round(chart.high, 4) == 11.6621
    assert round(chart.low, 4) == -0.8889
    assert chart.low_time == 0.0


def test_exponential_limits_of_times() -> None:
    """Computed: multiples of the mean."""
    low, middle, high = t_chart([1.0, 1.0]).exponential

    assert (round(low, 5), round(middle, 4), round(high, 4)) == (
        0.00135,
        0.6931,
        6.6077,
    )


def test_g_chart() -> None:
    """Computed; data made up."""
    chart = g_chart(GAPS)

    assert round(chart.centre, 3) == 28.667
    assert round(chart.high, 3) == 116.154
    assert chart.low == 0.0
    assert round(chart.p, 5) == 0.03371
    assert round(chart.p_corrected, 5) == 0.03090
    assert chart.probability == (0, 20, 192)


@pytest.mark.parametrize(("mean", "percent"), [(10, 1.826), (33, 1.831)])
def test_a_g_chart_cries_wolf_at_three_sigma(mean: int, percent: float) -> None:
    """Computed: the chance that a gap lies above the upper limit."""
    assert round(g_chart([mean]).false_alarm * 100, 3) == percent


ALL = (BEYOND_3, TWO_OF_3, FOUR_OF_5, ONE_SIDE)
RUN_LENGTHS = [
    # Champ and Woodall 1987 (370.4 and 91.75 published, others memory); shifts computed
    ((BEYOND_3,), (370.398, 200.08, 43.89, 6.30)),
    ((BEYOND_3, TWO_OF_3), (225.438, 104.46, 20.01, 3.65)),
    ((BEYOND_3, FOUR_OF_5), (166.055, 63.88, 12.66, 3.68)),
    ((BEYOND_3, ONE_SIDE), (152.730, 59.76, 14.58, 4.89)),
    ((BEYOND_3, TWO_OF_3, FOUR_OF_5), (132.893, 52.93, 10.95, 3.14)),
    ((BEYOND_3, TWO_OF_3, ONE_SIDE), (122.051, 48.71, 11.73, 3.50)),
    (ALL, (91.751, 36.61, 9.22, 3.13)),
]


@pytest.mark.timeout(60)
@pytest.mark.parametrize(("rules", "printed"), RUN_LENGTHS)
def test_run_lengths_of_rules(rules: tuple, printed: tuple) -> None:
    for shift, value in zip((0.0, 0.4, 1.0, 2.0), printed, strict=True):
        digits = 3 if shift == 0.0 else 2
        assert round(average_run_length(rules, shift=shift), digits) == value


def run_length_alone(chance: float, run: int, *, sides: int = 1) -> float:
    """Return points until ``run`` of them in a row have a property, on average.

    Parameters
    ----------
    chance
        Chance of the property at one point.
    run
        How many in a row.
    sides
        2 where a run on either side counts and each point lies on one of them.
    """
    if sides == 1:
        return (1.0 - chance**run) / (chance**run * (1.0 - chance))
    more = chance ** (run - 1)
    return 1.0 + (1.0 - more) / (more * (1.0 - chance))


def test_run_lengths_of_single_rules() -> None:
    """Computed."""
    assert [run_length_alone(0.5, k, sides=2) for k in (7, 8, 9)] == [127, 255, 511]
    assert round(average_run_length((TWO_OF_3,)), 2) == 510.69
    assert round(average_run_length((FOUR_OF_5,)), 2) == 291.32
    assert round(average_run_length((BEYOND_3, ONE_SIDE), run=9), 2) == 216.70
    assert round(average_run_length(ALL, run=9), 2) == 109.05
    inside = 0.6826894921370859
    assert round(run_length_alone(inside, 15), 1) == 963.3
    assert round(run_length_alone(1 - inside, 8)) == 14251
    assert round(average_run_length((BEYOND_3,), limit=3.09)) == 500
    assert round(false_signal_chance(24) * 100, 2) == 6.28


def test_rules_signal_where_they_should() -> None:
    points = [0.1, 2.1, -0.3, 2.2, 3.4]

    assert (4, TWO_OF_3) in signals(points)
    assert (5, BEYOND_3) in signals(points)
    assert signals([0.5] * 8, (ONE_SIDE,)) == ((8, ONE_SIDE),)
