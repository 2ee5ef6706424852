"""Time to event, to the printed digits.

"Seen" was read in a source, "handed down" is a known published value, "memory" a
remembered one; everything else was computed beforehand with lifelines 0.30.3,
scikit-survival 0.28.0, statsmodels 0.15.0, or by the formula.
"""

from __future__ import annotations

import numpy as np
import pytest
from tests.external.statistics.survival_data import (
    PERCUTANEOUS,
    PLACEBO,
    SIX_MP,
    SURGICAL,
    read,
    together,
)

from lumenkeep.core.watch.survival.counted import count
from lumenkeep.core.watch.survival.cox import cox
from lumenkeep.core.watch.survival.kaplan_meier import kaplan_meier, quantile
from lumenkeep.core.watch.survival.log_rank import compare_groups
from lumenkeep.core.watch.survival.nelson_aalen import nelson_aalen

pytestmark = pytest.mark.external


def row(time: float, counted, values) -> float:
    """Return the value at a time."""
    return float(values[int(np.searchsorted(counted.times, time))])


def test_sums_of_freireich() -> None:
    """Medians 8 and 23, 182 and 359 weeks: handed down; recounted."""
    for text, events, weeks, median in ((PLACEBO, 21, 182, 8), (SIX_MP, 9, 359, 23)):
        times, ended = read(text)
        assert (len(times), sum(ended), sum(times)) == (21, events, weeks)
        assert quantile(kaplan_meier(count(times, ended))).value == median


@pytest.mark.parametrize(
    (
        "time",
        "at_risk",
        "d",
        "s",
        "variance",
        "low",
        "high",
        "hazard",
        "h_var",
        "exp_h",
    ),
    [
        (6, 21, 3, 0.8571, 0.0058, 0.6197, 0.9516, 0.1429, 0.0068, 0.8669),
        (7, 17, 1, 0.8067, 0.0076, 0.5631, 0.9228, 0.2017, 0.0103, 0.8174),
        (10, 15, 1, 0.7529, 0.0093, 0.5032, 0.8894, 0.2683, 0.0147, 0.7646),
        (13, 12, 1, 0.6902, 0.0114, 0.4316, 0.8491, 0.3517, 0.0217, 0.7035),
        (16, 11, 1, 0.6275, 0.0130, 0.3675, 0.8049, 0.4426, 0.0299, 0.6424),
        (22, 7, 1, 0.5378, 0.0164, 0.2678, 0.7468, 0.5854, 0.0503, 0.5569),
        (23, 6, 1, 0.4482, 0.0181, 0.1881, 0.6801, 0.7521, 0.0781, 0.4714),
    ],
)
def test_kaplan_meier_and_nelson_aalen_of_freireich(
    time, at_risk, d, s, variance, low, high, hazard, h_var, exp_h
) -> None:
    """Klein and Moeschberger, tables 4.1 and 4.2 (memory); limits computed."""
    counted = count(*read(SIX_MP))
    curve, summed = kaplan_meier(counted), nelson_aalen(counted)

    assert row(time, counted, counted.at_risk) == at_risk
    assert row(time, counted, counted.events) == d
    assert round(row(time, counted, curve.value), 4) == s
    assert round(row(time, counted, curve.variance), 4) == variance
    assert round(row(time, counted, curve.low), 4) == low
    assert round(row(time, counted, curve.high), 4) == high
    assert round(row(time, counted, summed.value), 4) == hazard
    assert round(row(time, counted, summed.variance), 4) == h_var
    assert round(float(np.exp(-row(time, counted, summed.value))), 4) == exp_h


def test_log_rank_of_freireich() -> None:
    """16.79 handed down; the rest computed."""
    found = compare_groups(*together(PLACEBO, SIX_MP))
    placebo, six_mp = found.groups

    assert round(found.chi_square, 4) == 16.7929
    assert f"{found.p_value:.2e}" == "4.17e-05"
    assert (placebo.observed, round(placebo.expected, 4)) == (21, 10.7495)
    assert (six_mp.observed, round(six_mp.expected, 4)) == (9, 19.2505)
    assert round(found.variance, 4) == 6.2570
    gehan = compare_groups(*together(PLACEBO, SIX_MP), weights="gehan")
    assert round(gehan.chi_square, 4) == 13.4579


def test_cox_of_freireich() -> None:
    """1.572/0.412 and 1.509/0.410 memory; computed to four digits."""
    times, events, groups = together(SIX_MP, PLACEBO)
    columns = [[float(group)] for group in groups]
    efron = cox(times, events, columns, ["placebo"]).effects[0]
    breslow = cox(times, events, columns, ["placebo"], "breslow").effects[0]

    assert (round(efron.log_ratio, 4), round(efron.se, 4)) == (1.5721, 0.4124)
    assert round(efron.ratio, 3) == 4.817
    assert (round(breslow.log_ratio, 4), round(breslow.se, 4)) == (1.5092, 0.4096)


def test_sums_of_nahman() -> None:
    """Computed from the data."""
    for text, n, events, months in (
        (SURGICAL, 43, 15, 485.5),
        (PERCUTANEOUS, 76, 11, 607.0),
    ):
        times, ended = read(text)
        assert (len(times), sum(ended), sum(times)) == (n, events, months)


@pytest.mark.parametrize(
    ("weights", "p", "q", "chi_square", "p_value"),
    [
        ("log-rank", 0, 0, 2.5295, 0.1117),  # 2.53, 0.112 handed down
        ("gehan", 0, 0, 0.0021, 0.9636),  # 0.002, 0.964 memory, as all below
        ("tarone-ware", 0, 0, 0.4027, 0.5257),
        ("peto-peto", 0, 0, 1.3992, 0.2369),
        ("fleming-harrington", 0, 1, 9.6680, 0.0019),
        ("fleming-harrington", 1, 0, 1.3865, 0.2390),
        ("fleming-harrington", 1, 1, 9.8341, 0.0017),
        ("fleming-harrington", 0.5, 0.5, 9.2849, 0.0023),
        ("fleming-harrington", 0.5, 2, 8.1790, 0.0042),
    ],
)
def test_weighted_tests_of_nahman(weights, p, q, chi_square, p_value) -> None:
    """Klein and Moeschberger, section 7.3: the curves cross, so weights decide."""
    found = compare_groups(*together(SURGICAL, PERCUTANEOUS), weights, p, q)

    assert round(found.chi_square, 4) == chi_square
    assert round(found.p_value, 4) == p_value


def test_log_rank_of_nahman_in_parts() -> None:
    """3.96 and 6.21 memory; computed to four digits."""
    found = compare_groups(*together(SURGICAL, PERCUTANEOUS))

    assert round(found.groups[0].expected, 4) == 11.0364
    assert round(found.score, 2) == 3.96
    assert round(found.variance, 4) == 6.2106


def test_curves_of_nahman() -> None:
    """Computed."""
    surgical, skin = count(*read(SURGICAL)), count(*read(PERCUTANEOUS))
    one, two = kaplan_meier(surgical), kaplan_meier(skin)

    assert [round(one.at(t).value, 4) for t in (1.5, 10.5, 26.5)] == [
        0.9767, 0.7276, 0.1874
    ]  # fmt: skip
    assert [round(two.at(t).value, 4) for t in (0.5, 6.5, 15.5)] == [
        0.9211, 0.8452, 0.7848
    ]  # fmt: skip
    assert round(float(nelson_aalen(surgical).value[-1]), 4) == 1.4171
    assert round(float(nelson_aalen(skin).value[-1]), 4) == 0.2351


def test_cox_of_nahman() -> None:
    """Computed."""
    times, events, groups = together(SURGICAL, PERCUTANEOUS)
    columns = [[float(group)] for group in groups]
    breslow = cox(times, events, columns, ["skin"], "breslow").effects[0]
    efron = cox(times, events, columns, ["skin"]).effects[0]

    assert (round(breslow.log_ratio, 4), round(breslow.se, 4)) == (-0.6182, 0.3981)
    assert (round(efron.log_ratio, 4), round(efron.se, 4)) == (-0.6126, 0.3979)
