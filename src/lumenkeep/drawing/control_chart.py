"""A control chart drawn: rate, count or share of each period, with its limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.run_rules import (
    BEYOND_3,
    FOUR_OF_5,
    ONE_SIDE,
    TWO_OF_3,
)
from lumenkeep.drawing.figure import FigureText, counted, drawn, listed, number, span
from lumenkeep.drawing.series import LevelLine, Series, paint_series

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.outcomes.statistics.charts import ControlChart, Point
    from lumenkeep.drawing.figure import Drawing

ABOVE, BELOW = "above limit", "below limit"
RULE_WORDS = {
    TWO_OF_3: "2 of 3 far out",
    FOUR_OF_5: "4 of 5 off centre",
    ONE_SIDE: "long on one side",
}


@dataclass(frozen=True, slots=True)
class ChartedMeasure:
    """What a chart counts.

    Attributes
    ----------
    quantity
        As a reader says it: "infections per 1000 line-days".
    per
        What the chart's values are multiplied with: 1000, or 100 for per cent.
    period, periods
        Word for one point and for several: "month", "months".
    limits
        How the limits were made: "three sigma" or "probability".
    """

    quantity: str
    per: float = 1.0
    period: str = "month"
    periods: str = "months"
    limits: str = "three sigma"


def control_chart(
    key: str,
    title: str,
    chart: ControlChart,
    names: Sequence[str],
    measured: ChartedMeasure,
    *,
    counts: Sequence[float] | None = None,
    sizes: Sequence[float] | None = None,
    signals: Sequence[tuple[int, str]] = (),
    false_signal_every: float | None = None,
) -> Drawing:
    """Return a u, p or c chart drawn, Laney's correction and run rules included.

    Parameters
    ----------
    key
        Names the drawing on its page.
    chart
        With ordinary or probability limits.
    names
        Of the periods, one for each point.
    counts, sizes
        What each point was made from, for the table.
    signals
        As `run_rules.signals` gives them; points outside their limits are always
        marked.
    false_signal_every
        Points until a false signal, on average, with the rules in use.
    """
    found = _found(chart, signals)
    told = FigureText(
        title,
        _sentence(chart, names, measured, found, false_signal_every),
        _alternative(chart, names, measured, found),
        _header(measured, counts, sizes),
        tuple(_rows(chart, names, measured, found, counts, sizes)),
    )
    levels = _levels(chart, measured.per)
    values = tuple(point.value * measured.per for point in chart.points)
    series = Series(
        tuple(names), values, measured.quantity, levels=levels, signals=found
    )
    return drawn(key, told, lambda sheet: paint_series(sheet, series))


def _found(
    chart: ControlChart, signals: Sequence[tuple[int, str]]
) -> tuple[tuple[int, str], ...]:
    outside = {
        n: _side(point) for n, point in enumerate(chart.points, 1) if point.is_out
    }
    others = [(n, RULE_WORDS[rule]) for n, rule in signals if rule != BEYOND_3]
    return tuple(sorted([*outside.items(), *others]))


def _side(point: Point) -> str:
    return ABOVE if point.value > point.high else BELOW


def _levels(chart: ControlChart, per: float) -> tuple[LevelLine, ...]:
    high = tuple(point.high * per for point in chart.points)
    low = tuple(point.low * per for point in chart.points)
    centre = chart.centre * per
    levels = [
        LevelLine(
            high, (f"upper limit {number(high[-1])}", f"upper {number(high[-1])}")
        ),
        LevelLine(
            (centre,) * len(high),
            (f"mean {number(centre)}", f"mean {number(centre)}"),
            "centre",
        ),
    ]
    if any(low):
        words = f"lower limit {number(low[-1])}", f"lower {number(low[-1])}"
        levels.append(LevelLine(low, words))
    return tuple(levels)


def _sentence(
    chart: ControlChart,
    names: Sequence[str],
    measured: ChartedMeasure,
    found: Sequence[tuple[int, str]],
    every: float | None,
) -> str:
    points = counted(len(names), measured.period, measured.periods)
    start = f"Over {points} the mean was {number(chart.centre * measured.per)} "
    start += f"{measured.quantity}; "
    flagged = sorted({n for n, _ in found})
    if flagged:
        shown = listed([names[n - 1] for n in flagged])
        start += f"{shown} {'stands' if len(flagged) == 1 else 'stand'} out"
    else:
        start += f"no {measured.period} stands out from what chance alone gives"
    if every is None:
        return f"{start}."
    rare = f"about once in {number(round(every))} {measured.periods}"
    return f"{start}, and chance alone would give such a signal {rare}."


def _alternative(
    chart: ControlChart,
    names: Sequence[str],
    measured: ChartedMeasure,
    found: Sequence[tuple[int, str]],
) -> str:
    per = measured.per
    values = [point.value * per for point in chart.points]
    highest = max(range(len(values)), key=values.__getitem__)
    lowest = min(range(len(values)), key=values.__getitem__)
    last = chart.points[-1]
    told = [
        f"A line of {counted(len(names), 'point')} from {names[0]} to {names[-1]}.",
        (
            f"Highest {number(values[highest])} in {names[highest]}, "
            f"lowest {number(values[lowest])} in {names[lowest]}."
        ),
        (
            f"Mean line at {number(chart.centre * per)}; {measured.limits} limits of the "
            f"last {measured.period} {span(last.low * per, last.high * per)}."
        ),
    ]
    if chart.kind.endswith("′"):
        told.append(
            "Limits carry Laney's correction for variation between periods, "
            f"{number(chart.sigma_z)} times the plain ones."
        )
    told += [f"Marked with a diamond: {names[n - 1]}, {word}." for n, word in found]
    return " ".join(told)


def _header(
    measured: ChartedMeasure,
    counts: Sequence[float] | None,
    sizes: Sequence[float] | None,
) -> tuple[str, ...]:
    made = [*(["count"] if counts else []), *(["out of"] if sizes else [])]
    rest = (measured.quantity, "lower limit", "upper limit", "signal")
    return (measured.period, *made, *rest)


def _rows(
    chart: ControlChart,
    names: Sequence[str],
    measured: ChartedMeasure,
    found: Sequence[tuple[int, str]],
    counts: Sequence[float] | None,
    sizes: Sequence[float] | None,
) -> list[tuple[str, ...]]:
    rows = []
    for n, (name, point) in enumerate(zip(names, chart.points, strict=True)):
        made = [number(column[n]) for column in (counts, sizes) if column]
        shown = [number(v * measured.per) for v in (point.value, point.low, point.high)]
        words = ", ".join(word for at, word in found if at == n + 1) or "none"
        rows.append((name, *made, *shown, words))
    return rows
