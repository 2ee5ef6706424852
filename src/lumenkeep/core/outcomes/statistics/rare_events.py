"""Charts of the time, or the cases, between rare events.

The usual three-sigma g chart cannot show that things got worse: its lower limit is
always 0, and above it a point has a false-alarm chance near 1.8 %, not 0.135 %. So
probability limits are given beside it, and a CUSUM is the chart for deterioration.
Days between events are fair only where the line-days of a day hardly change.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, exp, log, log1p
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.charts import FALSE_ALARM, SIGMAS

if TYPE_CHECKING:
    from collections.abc import Sequence

EXPONENT, BACK = 0.2777, 3.6  # as published: 1/3.6 cut to four digits
INDIVIDUALS = 2.66


@dataclass(frozen=True, slots=True)
class GapChart:
    """A g chart: gaps with three-sigma and with probability limits.

    ``p`` and ``p_corrected`` are the chance of an event at one opportunity;
    ``false_alarm`` is the chance that one gap of an unchanged process lies above the
    three-sigma limit.
    """

    centre: float
    high: float
    low: float
    p: float
    p_corrected: float
    probability: tuple[int, int, int]
    false_alarm: float


def g_chart(gaps: Sequence[float], least: int = 0, k: float = SIGMAS) -> GapChart:
    """Return the limits of a chart of gaps.

    Parameters
    ----------
    gaps
        Cases or days between events, in order.
    least
        The least a gap can be, 0 or 1.
    k
        How many sigma.

    References
    ----------
    .. [1] F. C. Kaminsky and others, Journal of Quality Technology 24 (1992) 63-69;
       J. C. Benneyan, Health Care Management Science 4 (2001) 305-318.
    """
    centre = sum(gaps) / len(gaps)
    reach = k * ((centre - least) * (centre - least + 1.0)) ** 0.5
    p = 1.0 / (centre - least + 1.0)
    quantiles = tuple(
        _geometric_quantile(q, p) + least for q in (FALSE_ALARM, 0.5, 1.0 - FALSE_ALARM)
    )
    high = centre + reach
    above = exp((int(high - least) + 1) * log1p(-p)) if p < 1.0 else 0.0
    return GapChart(
        centre,
        high,
        max(float(least), centre - reach),
        p,
        p * (len(gaps) - 1.0) / len(gaps),
        (quantiles[0], quantiles[1], quantiles[-1]),
        above,
    )


def _geometric_quantile(q: float, p: float) -> int:
    """Return the least number of failures before an event that has chance q or more."""
    if p >= 1.0:
        return 0
    return max(0, ceil(log1p(-q) / log1p(-p)) - 1)


@dataclass(frozen=True, slots=True)
class TimeChart:
    """A t chart: times between events, transformed to be nearly normal."""

    transformed: tuple[float, ...]
    centre: float
    mean_range: float
    low: float
    high: float
    low_time: float
    high_time: float
    exponential: tuple[float, float, float]


def t_chart(times: Sequence[float]) -> TimeChart:
    """Return the limits of a chart of times between events.

    Parameters
    ----------
    times
        Times between events, above 0, in one unit.

    Notes
    -----
    ``exponential`` holds the lower probability limit, the median and the upper one
    for a process without memory.

    References
    ----------
    .. [1] L. S. Nelson, Journal of Quality Technology 26 (1994) 239-240.
    """
    y = [time**EXPONENT for time in times]
    centre = sum(y) / len(y)
    ranges = [abs(later - earlier) for earlier, later in pairwise(y)]
    spread = sum(ranges) / len(ranges)
    low, high = centre - INDIVIDUALS * spread, centre + INDIVIDUALS * spread
    mean = sum(times) / len(times)
    quantiles = [-log(1.0 - q) * mean for q in (FALSE_ALARM, 0.5, 1.0 - FALSE_ALARM)]
    return TimeChart(
        tuple(y),
        centre,
        spread,
        low,
        high,
        max(0.0, low) ** BACK,
        high**BACK,
        (quantiles[0], quantiles[1], quantiles[-1]),
    )
