"""A running sum drawn: it climbs while things are worse than they should be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.drawing.figure import FigureText, counted, drawn, number
from lumenkeep.drawing.series import LevelLine, Series, paint_series

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.outcomes.statistics.cusum import SumPath
    from lumenkeep.drawing.figure import Drawing


def sum_chart(
    key: str,
    title: str,
    path: SumPath,
    limit: float,
    names: Sequence[str],
    *,
    sought: str,
    period: str = "month",
    periods: str = "months",
    false_signal_every: float | None = None,
) -> Drawing:
    """Return a running sum drawn.

    Parameters
    ----------
    path, limit
        The sum after each period, and where it signals.
    names
        Of the periods.
    sought
        What a signal says: "infections have doubled", "competence is shown".
    false_signal_every
        Periods until a false signal, on average.
    """
    signals = ((path.signal, "limit reached"),) if path.signal is not None else ()
    last = path.values[-1]
    told = FigureText(
        title,
        _sentence(path, limit, names, sought, periods, false_signal_every),
        (
            f"A line of {counted(len(names), 'point')} from {names[0]} to {names[-1]} "
            "that rises when more was counted than expected and never falls below 0. "
            f"Highest {number(max(path.values))}, last {number(last)}; the limit is at "
            f"{number(limit)}."
            + (
                f" Marked with a diamond: {names[path.signal - 1]}, limit reached."
                if path.signal is not None
                else ""
            )
        ),
        (period, "running sum", "signal"),
        tuple(
            (name, number(value), "limit reached" if n == path.signal else "none")
            for n, (name, value) in enumerate(zip(names, path.values, strict=True), 1)
        ),
    )
    words = f"limit {number(limit)}"
    series = Series(
        tuple(names),
        path.values,
        "running sum",
        levels=(LevelLine((limit,) * len(names), (words, words)),),
        signals=signals,
    )
    return drawn(key, told, lambda sheet: paint_series(sheet, series))


def _sentence(
    path: SumPath,
    limit: float,
    names: Sequence[str],
    sought: str,
    periods: str,
    every: float | None,
) -> str:
    if path.signal is not None:
        start = f"The sum reached its limit in {names[path.signal - 1]}: the counts "
        start += f"speak for it that {sought}"
    else:
        start = f"The sum ends at {number(path.values[-1])}, below its limit of "
        start += f"{number(limit)}: nothing yet says that {sought}"
    if every is None:
        return f"{start}."
    rare = f"about once in {number(round(every))} {periods}"
    return f"{start}; chance alone would reach the limit {rare}."
