"""Poisson counts, ratios and proportions, to the printed digits.

Marks: "computed" was worked out beforehand by other code; "seen" stands in a
publication that was read; "memory" is a published value that was remembered.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lumenkeep.core.outcomes.statistics.counts import (
    approximate_count_limits,
    exact_count_limits,
    mid_p_count_limits,
    rate_per_1000,
)
from lumenkeep.core.outcomes.statistics.proportions import (
    newcombe_difference,
    proportion,
)
from lumenkeep.core.outcomes.statistics.ratios import (
    compare_two_rates,
    standardised_ratio,
)

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.statistics.interval import Limits

pytestmark = pytest.mark.external

COUNTS = [
    # computed: count, 95 % exact, 90 % exact, 95 % mid-P
    (0, (0.0000, 3.6889), (0.0000, 2.9957), (0.0000, 2.9957)),
    (1, (0.0253, 5.5716), (0.0513, 4.7439), (0.0500, 4.9319)),
    (2, (0.2422, 7.2247), (0.3554, 6.2958), (0.3353, 6.6080)),
    (3, (0.6187, 8.7673), (0.8177, 7.7537), (0.7631, 8.1645)),
    (4, (1.0899, 10.2416), (1.3663, 9.1535), (1.2709, 9.6484)),
    (5, (1.6235, 11.6683), (1.9701, 10.5130), (1.8320, 11.0824)),
    (6, (2.2019, 13.0595), (2.6130, 11.8424), (2.4318, 12.4793)),
    (7, (2.8144, 14.4227), (3.2853, 13.1481), (3.0616, 13.8471)),
    (8, (3.4538, 15.7632), (3.9808, 14.4346), (3.7154, 15.1915)),
    (9, (4.1154, 17.0848), (4.6952, 15.7052), (4.3891, 16.5164)),
    (10, (4.7954, 18.3904), (5.4254, 16.9622), (5.0795, 17.8249)),
    (11, (5.4912, 19.6820), (6.1690, 18.2075), (5.7844, 19.1191)),
    (12, (6.2006, 20.9616), (6.9242, 19.4426), (6.5018, 20.4009)),
    (13, (6.9220, 22.2304), (7.6896, 20.6686), (7.2304, 21.6717)),
    (14, (7.6539, 23.4896), (8.4639, 21.8865), (7.9688, 22.9327)),
    (15, (8.3954, 24.7402), (9.2463, 23.0971), (8.7161, 24.1850)),
    (16, (9.1454, 25.9830), (10.0360, 24.3012), (9.4713, 25.4293)),
    (17, (9.9031, 27.2186), (10.8321, 25.4992), (10.2339, 26.6663)),
    (18, (10.6679, 28.4478), (11.6343, 26.6918), (11.0032, 27.8967)),
    (19, (11.4392, 29.6709), (12.4420, 27.8792), (11.7786, 29.1210)),
    (20, (12.2165, 30.8884), (13.2547, 29.0620), (12.5597, 30.3396)),
    (25, (16.1787, 36.9049), (17.3821, 34.9161), (16.5376, 36.3607)),
    (30, (20.2409, 42.8269), (21.5940, 40.6905), (20.6115, 42.2861)),
    (50, (37.1110, 65.9188), (38.9647, 63.2871), (37.5098, 65.3865)),
    (100, (81.3640, 121.6268), (84.1393, 118.0793), (81.7918, 121.1035)),
]


def rounded(limits: Limits, digits: int) -> tuple[float | None, float | None]:
    """Return limits to so many digits after the point."""
    return tuple(
        x if x is None else round(x, digits) for x in (limits.low, limits.high)
    )


@pytest.mark.parametrize(("n", "exact", "exact_90", "mid"), COUNTS)
def test_limits_of_a_count(n: int, exact: tuple, exact_90: tuple, mid: tuple) -> None:
    """Garwood 1936 in the form of Ulm 1990 (seen: title and method); values computed."""
    assert rounded(exact_count_limits(n), 4) == exact
    assert rounded(exact_count_limits(n, 0.90), 4) == exact_90
    assert rounded(mid_p_count_limits(n), 4) == mid


@pytest.mark.parametrize(
    ("n", "printed", "digits"),
    [
        (0, (0.0, 3.689), (3, 3)),  # seen, documentation quoting Daly 1992
        (1, (0.0253, 5.572), (4, 3)),  # memory, standard tables
        (10, (4.795, 18.39), (3, 2)),  # memory, standard tables
        (20, (12.22, 30.89), (2, 2)),  # memory, standard tables
    ],
)
def test_published_limits_of_a_count(n: int, printed: tuple, digits: tuple) -> None:
    found = exact_count_limits(n)
    ends = (found.low or 0.0, found.high or 0.0)

    assert tuple(round(x, d) for x, d in zip(ends, digits, strict=True)) == printed


@pytest.mark.parametrize(
    ("n", "printed"),
    [
        (1, (0.0131, 5.5638)),
        (5, (1.6113, 11.6682)),
        (10, (4.7874, 18.3915)),
        (20, (12.2114, 30.8899)),
    ],
)
def test_the_approximation_of_byar(n: int, printed: tuple) -> None:
    """Computed; within 0.2 % of exact from ten on (seen, a public-health guide)."""
    found = approximate_count_limits(n)

    assert rounded(found, 4) == printed
    if n >= 10:
        exact = exact_count_limits(n)
        assert found.low == pytest.approx(exact.low, rel=0.002)
        assert found.high == pytest.approx(exact.high, rel=0.002)


RATIOS = [
    # Patel and others 2021, table 2, April to June 2020 (seen: observed, predicted,
    # printed ratio, mark); ratio, limits and p computed
    ("Burn", 29, 52.58, 0.55, True, 0.5515, (0.3764, 0.7818), 0.00043),
    ("Medical cardiac", 91, 87.17, 1.04, False, 1.0439, (0.8454, 1.2757), 0.67129),
    ("Medical", 397, 274.19, 1.45, True, 1.4479, (1.3106, 1.5957), None),
    (
        "Paediatric medical-surgical",
        76,
        106.36,
        0.71,
        True,
        0.7146,
        (0.5669, 0.8894),
        0.00205,
    ),
    ("Paediatric medical", 8, 5.73, 1.40, False, 1.3962, (0.6484, 2.6512), 0.34593),
    ("Neurologic", 21, 28.58, 0.73, False, 0.7348, (0.4670, 1.1040), 0.14749),
    ("Neurosurgical", 62, 67.29, 0.92, False, 0.9214, (0.7125, 1.1733), 0.52750),
    ("Surgical", 136, 135.29, 1.01, False, 1.0052, (0.8466, 1.1853), 0.94004),
    ("Trauma", 48, 85.99, 0.56, True, 0.5582, (0.4162, 0.7339), None),
    ("Neonatal level II/III", 68, 118.07, 0.58, True, 0.5759, (0.4507, 0.7257), None),
]


@pytest.mark.parametrize(
    ("place", "o", "e", "printed", "differs", "ratio", "limits", "p"), RATIOS
)
def test_published_standardised_ratios(
    place: str,
    o: int,
    e: float,
    printed: float,
    differs: bool,
    ratio: float,
    limits: tuple,
    p: float | None,
) -> None:
    found = standardised_ratio(o, e)

    assert found.value is not None, place
    assert found.p is not None
    assert found.value == pytest.approx(printed, abs=0.0051)
    assert round(found.value, 4) == ratio
    assert rounded(found.mid_p, 4) == limits
    assert (found.p <= 0.05) is differs
    assert found.p < 0.00001 if p is None else round(found.p, 5) == p


@pytest.mark.parametrize(
    ("o", "e", "ratio", "digits", "mid", "exact"),
    [
        (388, 440.13, 0.8816, 4, (0.7971, 0.9726), (0.7960, 0.9738)),  # computed
        (4, 3.3, 1.2121, 3, (0.385, 2.924), (0.330, 3.104)),  # memory, a textbook
        (8, 4.15, 1.9277, 3, (0.895, 3.661), (0.832, 3.798)),  # memory, a newsletter
        (8, 3.59, 2.2284, 3, (1.035, 4.232), (0.962, 4.391)),  # seen data, Liddell 1984
    ],
)
# Liddell: the upper exact limit is 15.76319 / 3.59 = 4.39086, so 4.391; our sheet had
# 4.390, which its own table of counts contradicts.
def test_other_standardised_ratios(
    o: int, e: float, ratio: float, digits: int, mid: tuple, exact: tuple
) -> None:
    found = standardised_ratio(o, e)

    assert round(found.value or 0.0, 4) == ratio
    assert rounded(found.mid_p, digits) == mid
    assert rounded(found.exact, digits) == exact


def test_p_of_the_stratified_ratio() -> None:
    """Render and others 2011, computed from their printed table."""
    assert round(standardised_ratio(388, 440.13).p or 0.0, 4) == 0.0115


def test_exact_limits_of_liddell_at_90_percent() -> None:
    """Liddell 1984, example 1 (seen: data); limits computed."""
    assert rounded(exact_count_limits(8, 0.90).scaled(1 / 3.59), 3) == (1.109, 4.021)


def test_nothing_observed_has_no_lower_limit() -> None:
    """Rule R29; computed."""
    found = standardised_ratio(0, 1.5)

    assert (found.value, found.mid_p.low) == (0.0, None)
    assert round(found.mid_p.high or 0.0, 4) == 1.9972
    assert round(found.p or 0.0, 4) == 0.2231


def test_too_few_predicted_give_no_ratio() -> None:
    """Rule R29, N7."""
    found = standardised_ratio(2, 0.9)

    assert (found.value, found.p) == (None, None)


TWO_RATES = [
    # fluoroscopy: Boice, Rothman (memory); p_small computed
    (
        (41, 28010, 15, 19017),
        {"ratio": (1.85576, 5), "low": (1.0057, 4), "high": (3.6093, 4)},
        {"mlow": (1.0411, 4), "mhigh": (3.4494, 4)},
        {"p_exact": (0.04766, 5), "p_mid": (0.03546, 5), "p_small": (0.04085, 5)},
    ),
    # output of an epidemiology training session (seen)
    (
        (17, 100025, 3, 122268),
        {"ratio": (6.92679, 5), "low": (2.0035, 4), "high": (36.8923, 4)},
        {"mlow": (2.2102, 4), "mhigh": (29.6303, 4)},
        {"p_exact": (0.0005538, 7), "p_mid": (0.0003127, 7), "z": (3.5960, 4)},
    ),
    # Fay, rate ratio (seen: barely not significant); values computed
    (
        (2, 17877, 9, 16660),
        {"ratio": (0.20709, 5), "low": (0.0218, 4), "high": (1.0005, 4)},
        {"mlow": (0.0305, 4), "mhigh": (0.8695, 4)},
        {"p_exact": (0.0501065, 7), "p_mid": (0.02927, 5), "p_small": (0.03309, 5)},
    ),
    # computed
    (
        (0, 800, 4, 900),
        {"ratio": (0.0, 4), "high": (1.7042, 4)},
        {"mhigh": (1.2541, 4)},
        {"p_exact": (0.1571, 4), "p_mid": (0.0786, 4)},
    ),
]


@pytest.mark.parametrize(("data", "exact", "mid", "tests"), TWO_RATES)
def test_two_rates(data: tuple, exact: dict, mid: dict, tests: dict) -> None:
    found = compare_two_rates(*data)
    values = {
        "ratio": found.ratio,
        "low": found.exact.low,
        "high": found.exact.high,
        "mlow": found.mid_p.low,
        "mhigh": found.mid_p.high,
    } | {name: getattr(found, name) for name in tests}

    for name, (printed, digits) in (exact | mid | tests).items():
        assert round(values[name], digits) == printed, name


PROPORTIONS = [
    # x, n, Wilson (published, Newcombe 1998), corrected, Clopper-Pearson, mid-P (computed)
    (81, 263, (0.25529, 0.36621), (0.2535, 0.3682), (0.2527, 0.3676), (0.2544, 0.3658)),
    (15, 148, (0.06239, 0.16049), (0.0598, 0.1644), (0.0578, 0.1617), (0.0601, 0.1581)),
    (0, 20, (0.0, 0.16113), (0.0, 0.2005), (0.0, 0.1684), (0.0, 0.1391)),
    (1, 29, (0.00611, 0.17176), (0.0018, 0.1963), (0.0009, 0.1776), (0.0017, 0.1585)),
]


@pytest.mark.parametrize(("x", "n", "score", "corrected", "exact", "mid"), PROPORTIONS)
def test_limits_of_a_proportion(
    x: int, n: int, score: tuple, corrected: tuple, exact: tuple, mid: tuple
) -> None:
    found = proportion(x, n)

    assert rounded(found.wilson, 5) == score
    assert rounded(found.wilson_corrected, 4) == corrected
    assert rounded(found.exact, 4) == exact
    assert rounded(found.mid_p, 4) == mid


@pytest.mark.parametrize(
    ("n", "score", "exact"), [(29, 0.88303, 0.8806), (148, 0.97470, 0.9754)]
)
def test_limits_of_all_out_of_all(n: int, score: float, exact: float) -> None:
    """Computed."""
    found = proportion(n, n)

    assert rounded(found.wilson, 5) == (score, 1.0)
    assert rounded(found.exact, 4) == (exact, 1.0)


@pytest.mark.parametrize(
    ("data", "value", "limits"),
    [
        ((56, 70, 48, 80), 0.2000, (0.0524, 0.3339)),
        ((5, 56, 0, 29), 0.0893, (-0.0381, 0.1926)),
    ],
)
def test_difference_of_two_proportions(
    data: tuple, value: float, limits: tuple
) -> None:
    """Newcombe 1998, method 10 (memory)."""
    found = newcombe_difference(*data)

    assert round(found.value, 4) == value
    assert rounded(found.limits, 4) == limits


def test_the_rate_of_the_style_guide() -> None:
    found = rate_per_1000(3, 1500.0)

    assert round(found.value, 2) == 2.00
    assert rounded(found.exact, 2) == (0.41, 5.84)
