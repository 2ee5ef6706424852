"""One drawing of every kind, from numbers made up for the purpose."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from lumenkeep.core.outcomes.statistics.charts import (
    p_chart,
    probability_limits,
    u_chart,
)
from lumenkeep.core.outcomes.statistics.cusum import poisson_cusum
from lumenkeep.core.outcomes.statistics.funnel import ratio_limits
from lumenkeep.core.outcomes.statistics.rare_events import g_chart
from lumenkeep.core.outcomes.statistics.segmented import before_and_after
from lumenkeep.drawing import (
    ChartedMeasure,
    Drawing,
    DrawnEstimate,
    Funnel,
    FunnelUnit,
    Horizon,
    LengthReading,
    Lengths,
    Share,
    StepCurve,
    UnitRate,
    before_after_chart,
    control_chart,
    curves_chart,
    funnel_chart,
    gap_chart,
    item_rows,
    lengths_chart,
    sum_chart,
    unit_rates,
)

MONTH_NAMES = [
    "Jan",
    "Feb",
    "Mar",
    "Apr",
    "May",
    "Jun",
    "Jul",
    "Aug",
    "Sep",
    "Oct",
    "Nov",
    "Dec",
]
MONTHS = [f"{name} 2025" for name in MONTH_NAMES]
EVENTS = [3, 1, 0, 2, 4, 1, 2, 0, 1, 3, 2, 1]
LINE_DAYS = [612, 580, 541, 633, 702, 655, 598, 571, 640, 688, 660, 620]
CANS = [12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22]
CANS += [8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6]
GAPS = [12, 45, 3, 27, 60, 8, 31, 19, 74, 5, 22, 38]
PER_THOUSAND = ChartedMeasure("infections per 1000 line-days", 1000.0)


@cache
def rate_chart() -> Drawing:
    chart = u_chart(EVENTS, LINE_DAYS)
    return control_chart(
        "rate",
        "Infections by month",
        chart,
        MONTHS,
        PER_THOUSAND,
        counts=EVENTS,
        sizes=LINE_DAYS,
        false_signal_every=370.4,
    )


@cache
def share_chart() -> Drawing:
    sizes = [50] * len(CANS)
    names = [f"week {n}" for n in range(1, len(CANS) + 1)]
    chart = probability_limits(p_chart(CANS, sizes), [50.0] * len(CANS))
    return control_chart(
        "share",
        "Rounds with something amiss",
        chart,
        names,
        ChartedMeasure("per cent of lines", 100.0, "week", "weeks", "probability"),
        counts=CANS,
        sizes=sizes,
        signals=((15, "beyond-3"), (21, "4-of-5"), (22, "2-of-3"), (23, "2-of-3")),
        false_signal_every=91.75,
    )


@cache
def laney_chart() -> Drawing:
    counts = [21, 34, 18, 40, 25, 15, 38, 29, 44, 20, 31, 17]
    units = [9.8, 10.4, 9.5, 11.0, 10.1, 9.2, 10.8, 10.0, 11.3, 9.7, 10.2, 9.9]
    return control_chart(
        "laney",
        "Unplanned changes by month",
        u_chart(counts, units, laney=True),
        MONTHS,
        ChartedMeasure("unplanned changes per 100 line-days"),
    )


@cache
def gaps() -> Drawing:
    names = [f"{n} {month}" for n, month in enumerate(MONTH_NAMES, 3)]
    return gap_chart(
        "gaps", "Days between infections", g_chart(GAPS), GAPS, names, "days"
    )


@cache
def sums() -> Drawing:
    counts = [0, 1, 0, 2, 1, 3, 2, 3, 1, 2, 0, 1]
    path = poisson_cusum(counts, [0.8] * 12, 2.0, 2.5)
    return sum_chart(
        "sums",
        "Running sum of infections",
        path,
        2.5,
        MONTHS,
        sought="infections have doubled",
    )


@cache
def change() -> Drawing:
    events = [3, 4, 2, 5, 3, 4, 1, 2, 1, 0, 2, 1]
    return before_after_chart(
        "change",
        "Before and after the new film",
        before_and_after(events, LINE_DAYS, 7, with_trend=False),
        events,
        LINE_DAYS,
        7,
        MONTHS,
        change="new film",
    )


@cache
def funnel() -> Drawing:
    observed = [0, 1, 2, 5, 3, 9, 1, 4]
    predicted = [1.2, 2.5, 1.1, 3.9, 3.0, 4.2, 3.6, 2.5]
    names = ["Kestrel", "Wren", "Heron", "Plover", "Dipper", "Siskin", "Linnet", "Rail"]
    units = tuple(
        FunnelUnit(name, e, o / e, ratio_limits(e))  # type: ignore[arg-type]
        for name, o, e in zip(names, observed, predicted, strict=True)
    )
    return funnel_chart(
        "funnel", "Wards against chance", Funnel(units, 1.0, ratio_limits)
    )


@cache
def wards() -> Drawing:
    units = (
        UnitRate(
            "Kestrel",
            3,
            1500,
            DrawnEstimate(2.0, 0.41, 5.84),
            DrawnEstimate(1.8, 0.7, 3.9),
        ),
        UnitRate(
            "Wren", 0, 640, DrawnEstimate(0.0, 0.0, 5.76), DrawnEstimate(1.2, 0.3, 3.1)
        ),
        UnitRate(
            "Heron",
            9,
            2210,
            DrawnEstimate(4.07, 1.86, 7.73),
            DrawnEstimate(2.9, 1.4, 5.1),
        ),
        UnitRate("Newborn follow-up clinic", 0, 0, None, None),
    )
    return unit_rates("wards", "Infections by ward", units, mean=2.76)


@cache
def lives() -> Drawing:
    days = (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 9.0)
    failed = (0.0, 0.02, 0.05, 0.09, 0.13, 0.18, 0.22, 0.25, 0.27)
    changed = (0.0, 0.0, 0.01, 0.02, 0.03, 0.05, 0.12, 0.48, 0.6)
    curves = [
        StepCurve(
            "failed",
            days,
            failed,
            tuple(v * 0.7 for v in failed),
            tuple(v * 1.3 for v in failed),
        ),
        StepCurve(
            "changed",
            days,
            changed,
            tuple(v * 0.8 for v in changed),
            tuple(v * 1.2 for v in changed),
        ),
        StepCurve("line out", days, tuple(v * 0.4 for v in failed)),
    ]
    return curves_chart(
        "lives",
        "How dressings ended",
        curves,
        quantity="share of dressings",
        horizon=Horizon(7.0, "day 7"),
        among="240 dressings",
    )


@cache
def lengths() -> Drawing:
    start = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
    read = [12.0, 12.0, 13.0, 12.0, 12.0, 16.0, 17.0, 17.0]
    readings = tuple(
        LengthReading(
            start + timedelta(days=6 * n),
            mm,
            "arm bent" if n == 2 else "",
            {5: "5 mm out"}.get(n, "") if n != 6 else "5 mm out",
        )
        for n, mm in enumerate(read)
    )
    return lengths_chart(
        "lengths",
        "External length",
        Lengths(readings, 12.0, 1.5, 5.0),
        ZoneInfo("Europe/London"),
        sentence="The catheter has come out by 5 mm since 31 March 2026.",
    )


@cache
def items() -> Drawing:
    shares = [
        Share("dressing whole and dry", 81, 90, 0.82, 0.95),
        Share("dated on the dressing", 60, 90, 0.56, 0.76),
        Share("hands cleaned before the line was touched", 84, 88, 0.89, 0.98),
        Share("need for the line reviewed today", 0, 0),
    ]
    return item_rows(
        "items",
        "What the rounds found",
        shares,
        measured="lines on which the item was in place",
        target=0.95,
    )


ALL = (
    rate_chart,
    share_chart,
    laney_chart,
    gaps,
    sums,
    change,
    funnel,
    wards,
    lives,
    lengths,
    items,
)
