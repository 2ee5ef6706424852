"""The drawings of a ward's outcomes, from the numbers that the service gives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.drawing import (
    ChartedMeasure,
    Drawing,
    DrawnEstimate,
    Funnel,
    FunnelUnit,
    UnitRate,
    before_after_chart,
    control_chart,
    funnel_chart,
    gap_chart,
    sum_chart,
    unit_rates,
)

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.statistics.interval import Limits
    from lumenkeep.ward.outcomes.change import BeforeAfter
    from lumenkeep.ward.outcomes.charts import BetweenChart, RateChart, RunningSum
    from lumenkeep.ward.outcomes.wards import WardFunnel

PER = 1000.0
QUANTITY = "infections per 1000 line-days"


def _many(unit: str) -> str:
    return unit if unit == "four weeks" else f"{unit}s"


def rate_drawing(
    found: RateChart, key: str = "rate", title: str | None = None
) -> Drawing:
    """Return rates by period about their mean."""
    measured = ChartedMeasure(
        QUANTITY,
        PER,
        found.unit,
        _many(found.unit),
        "three sigma" if found.is_widened else "probability",
    )
    return control_chart(
        key,
        f"Infections by {found.unit}" if title is None else title,
        found.chart,
        [row.period.label for row in found.rows],
        measured,
        counts=[row.events for row in found.rows],
        sizes=[row.line_days for row in found.rows],
        signals=found.signals,
        false_signal_every=found.false_signal_every,
    )


def between_drawing(found: BetweenChart) -> Drawing | None:
    """Return line-days between infections; None with too few for limits."""
    if found.limits is None:
        return None
    return gap_chart(
        "between",
        "Line-days between infections",
        found.limits,
        [gap.line_days for gap in found.gaps],
        [f"{gap.until.day} {gap.until:%b}" for gap in found.gaps],
        "line-days",
    )


def sum_drawing(
    found: RunningSum,
    unit: str,
    key: str = "sum",
    title: str = "Running sum of infections",
) -> Drawing:
    """Return the running sum that looks for a doubling."""
    return sum_chart(
        key,
        title,
        found.path,
        found.limit,
        [period.label for period in found.periods],
        sought="infections have doubled",
        period=unit,
        periods=_many(unit),
        false_signal_every=found.false_signal_every,
    )


def funnel_drawing(found: WardFunnel) -> Drawing:
    """Return the wards against the limits of their size."""
    units = tuple(
        FunnelUnit(point.name, float(point.line_days), point.rate, point.limits)
        for point in found.points
    )
    return funnel_chart(
        "funnel",
        "Wards against chance",
        Funnel(units, found.overall, found.limits_at),
        quantity="rate of infections per 1000 line-days",
        size_words="line-days",
    )


def wards_drawing(found: WardFunnel) -> Drawing:
    """Return each ward's rate, and what it is drawn to among the others."""
    rates = [
        UnitRate(
            point.name,
            point.events,
            point.line_days,
            _estimate(point.rate, point.exact),
            _estimate(point.drawn, point.drawn_limits),
        )
        for point in found.points
    ]
    return unit_rates("wards", "Infections by ward", rates, mean=found.overall)


def _estimate(value: float, limits: Limits) -> DrawnEstimate:
    high = value if limits.high is None else limits.high
    return DrawnEstimate(value, limits.low or 0.0, high)


def change_drawing(found: BeforeAfter) -> Drawing | None:
    """Return rates before and after; None where no model could be fitted."""
    if found.model is None:
        return None
    kept = [(n, row) for n, row in enumerate(found.rows, 1) if row.line_days]
    return before_after_chart(
        "change",
        "Before and after",
        found.model,
        [row.events for _, row in kept],
        [float(row.line_days) for _, row in kept],
        next(k for k, (n, _) in enumerate(kept, 1) if n >= found.first_after),
        [row.period.label for _, row in kept],
        change=f"{found.change.on.day} {found.change.on:%b}",
        period=found.unit,
    )
