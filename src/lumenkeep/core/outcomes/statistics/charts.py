"""Control charts of counts, rates and proportions, with Laney's correction.

Three-sigma limits are the usual ones; probability limits put the same false-alarm
chance on each side, which matters where counts are small and a three-sigma lower
limit is always 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

SIGMAS = 3.0
MEAN_RANGE_OF_TWO = 1.128
FALSE_ALARM = 0.00135  # one side, as of three sigma on a normal distribution


@dataclass(frozen=True, slots=True)
class Point:
    """One point of a chart with its own limits."""

    value: float
    low: float
    high: float

    @property
    def is_out(self) -> bool:
        """Whether it lies outside its limits."""
        return not self.low <= self.value <= self.high


@dataclass(frozen=True, slots=True)
class ControlChart:
    """A control chart: its kind, centre line and points.

    ``sigma_z`` is Laney's correction (1: none was made or needed).
    """

    kind: str
    centre: float
    points: tuple[Point, ...]
    sigma_z: float = 1.0

    def out(self) -> tuple[int, ...]:
        """Return the numbers of the points outside, counted from 1."""
        return tuple(n for n, point in enumerate(self.points, 1) if point.is_out)


def u_chart(
    counts: Sequence[float], units: Sequence[float], *, laney: bool = False
) -> ControlChart:
    """Return a chart of a rate.

    Parameters
    ----------
    counts
        Events of each period.
    units
        Time at risk of each period, above 0, in one unit.
    laney
        Widen or narrow the limits by the variation between periods.

    References
    ----------
    .. [1] D. B. Laney, Quality Engineering 14 (2002) 531-537.
    """
    centre = sum(counts) / sum(units)
    values = [count / unit for count, unit in zip(counts, units, strict=True)]
    spreads = [(centre / unit) ** 0.5 for unit in units]
    return _chart("u", centre, values, spreads, laney=laney, highest=None)


def c_chart(counts: Sequence[float]) -> ControlChart:
    """Return a chart of counts over equal opportunities."""
    centre = sum(counts) / len(counts)
    spreads = [centre**0.5] * len(counts)
    return _chart("c", centre, list(counts), spreads, laney=False, highest=None)


def p_chart(
    counts: Sequence[float], sizes: Sequence[float], *, laney: bool = False
) -> ControlChart:
    """Return a chart of a proportion; ``counts`` out of ``sizes``."""
    centre = sum(counts) / sum(sizes)
    values = [count / size for count, size in zip(counts, sizes, strict=True)]
    spreads = [(centre * (1.0 - centre) / size) ** 0.5 for size in sizes]
    return _chart("p", centre, values, spreads, laney=laney, highest=1.0)


def _chart(
    kind: str,
    centre: float,
    values: list[float],
    spreads: list[float],
    *,
    laney: bool,
    highest: float | None,
) -> ControlChart:
    sigma = laney_sigma(centre, values, spreads) if laney else 1.0
    points = []
    for value, spread in zip(values, spreads, strict=True):
        reach = SIGMAS * spread * sigma
        high = centre + reach if highest is None else min(highest, centre + reach)
        points.append(Point(value, max(0.0, centre - reach), high))
    return ControlChart(f"{kind}′" if laney else kind, centre, tuple(points), sigma)


def laney_sigma(
    centre: float, values: Sequence[float], spreads: Sequence[float]
) -> float:
    """Return Laney's sigma of the standardised points; 1 is what chance alone gives."""
    z = [
        (value - centre) / spread if spread else 0.0
        for value, spread in zip(values, spreads, strict=True)
    ]
    ranges = [abs(later - earlier) for earlier, later in pairwise(z)]
    return sum(ranges) / len(ranges) / MEAN_RANGE_OF_TWO if ranges else 1.0


def probability_limits(chart: ControlChart, units: Sequence[float]) -> ControlChart:
    """Return a u, c or p chart with probability limits instead of three sigma.

    Parameters
    ----------
    chart
        A chart without Laney's correction.
    units
        Time at risk, or sizes; 1 for each point of a c chart.
    """
    from scipy.stats import binom, poisson

    points = []
    for point, unit in zip(chart.points, units, strict=True):
        model = (
            binom(int(unit), chart.centre)
            if chart.kind == "p"
            else poisson(chart.centre * unit)
        )
        low, high = model.ppf([FALSE_ALARM, 1.0 - FALSE_ALARM])
        points.append(Point(point.value, float(low) / unit, float(high) / unit))
    return ControlChart(chart.kind, chart.centre, tuple(points))
