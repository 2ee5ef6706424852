"""Charts of rare events drawn: the time, or the line-days, from one to the next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.drawing.figure import FigureText, counted, drawn, listed, number
from lumenkeep.drawing.series import LevelLine, Series, paint_series

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.outcomes.statistics.rare_events import GapChart
    from lumenkeep.drawing.figure import Drawing

SHORT, LONG = "unusually short", "unusually long"
Limits = tuple[float, float, float]


def gap_chart(
    key: str,
    title: str,
    chart: GapChart,
    gaps: Sequence[float],
    names: Sequence[str],
    unit: str,
) -> Drawing:
    """Return a g chart drawn with its probability limits.

    Parameters
    ----------
    gaps
        As the chart was made from, in order.
    names
        Of the event that ended each gap, as in its day.
    unit
        What a gap counts: "line-days", "days".
    """
    return _drawn(key, title, chart.probability, gaps, names, unit)


def _drawn(
    key: str,
    title: str,
    limits: Limits,
    gaps: Sequence[float],
    names: Sequence[str],
    unit: str,
) -> Drawing:
    low, middle, high = limits
    found = tuple(
        (n, SHORT if gap < low else LONG)
        for n, gap in enumerate(gaps, 1)
        if not low <= gap <= high
    )
    words = dict(found)
    told = FigureText(
        title,
        _sentence(limits, gaps, names, unit, found),
        _alternative(limits, gaps, names, unit, found),
        ("infection", f"{unit} since the one before", "signal"),
        tuple(
            (name, number(gap), words.get(n, "none"))
            for n, (name, gap) in enumerate(zip(names, gaps, strict=True), 1)
        ),
    )
    every = len(gaps)
    levels = [
        LevelLine(
            (high,) * every, (f"upper limit {number(high)}", f"upper {number(high)}")
        ),
        LevelLine((middle,) * every, (f"middle {number(middle)}",) * 2, "centre"),
    ]
    if low > 0:
        levels.append(
            LevelLine(
                (low,) * every, (f"lower limit {number(low)}", f"lower {number(low)}")
            )
        )
    series = Series(
        tuple(names),
        tuple(float(gap) for gap in gaps),
        f"{unit} since the one before; the scale sets short ones apart",
        levels=tuple(levels),
        signals=found,
        is_stretched=True,
    )
    return drawn(key, told, lambda sheet: paint_series(sheet, series))


def _sentence(
    limits: Limits,
    gaps: Sequence[float],
    names: Sequence[str],
    unit: str,
    found: Sequence[tuple[int, str]],
) -> str:
    ahead = f"Half of the gaps are expected above {number(limits[1])} {unit}"
    if found:
        shown = listed([f"{names[n - 1]} ({word})" for n, word in found])
        ahead += f", and these stand out: {shown}"
    else:
        ahead += f", and none of {len(gaps)} stands out from what chance alone gives"
    if limits[0] <= 0:
        ahead += (
            "; this chart cannot show a turn for the worse here, because its lower "
            "limit is 0: the running sum can"
        )
    return f"{ahead}."


def _alternative(
    limits: Limits,
    gaps: Sequence[float],
    names: Sequence[str],
    unit: str,
    found: Sequence[tuple[int, str]],
) -> str:
    low, middle, high = limits
    told = [
        (
            f"A line of {counted(len(gaps), 'gap')} between infections; a higher point is "
            "a longer time without one."
        ),
        f"Last gap {number(gaps[-1])} {unit}, ended {names[-1]}.",
        (
            f"Lower limit {number(low)}, middle {number(middle)}, upper limit "
            f"{number(high)}."
        ),
    ]
    told += [f"Marked with a diamond: {names[n - 1]}, {word}." for n, word in found]
    return " ".join(told)
