"""Before and after a change of practice, drawn: the periods and both mean rates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.drawing.figure import FigureText, counted, drawn, number, span
from lumenkeep.drawing.series import LevelLine, Series, paint_series

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.outcomes.statistics.segmented import RatioEffect, Segmented
    from lumenkeep.drawing.figure import Drawing


def before_after_chart(
    key: str,
    title: str,
    result: Segmented,
    events: Sequence[int],
    line_days: Sequence[float],
    change_at: int,
    names: Sequence[str],
    *,
    change: str,
    quantity: str = "infections per 1000 line-days",
    per: float = 1000.0,
    period: str = "month",
) -> Drawing:
    """Return the comparison drawn.

    Parameters
    ----------
    result
        What the regression found.
    events, line_days, change_at, names
        As it was given them; the change is the number of the first period after it.
    change
        The change in a few words: "new dressing".
    """
    rates = [x / t * per for x, t in zip(events, line_days, strict=True)]
    cut = change_at - 1
    before = sum(events[:cut]) / sum(line_days[:cut]) * per
    after = sum(events[cut:]) / sum(line_days[cut:]) * per
    told = FigureText(
        title,
        _sentence(result, before, after, quantity, change),
        f"A line of {counted(len(names), 'point')} from {names[0]} to {names[-1]}, cut "
        f"by an upright line before {names[cut]}: {change}. Mean {number(before)} "
        f"before, {number(after)} after.",
        (period, "side", "infections", "line-days", quantity),
        tuple(
            (
                name,
                "before" if n < cut else "after",
                number(events[n]),
                number(line_days[n]),
                number(rates[n]),
            )
            for n, name in enumerate(names)
        ),
    )
    none = (None,)
    levels = (
        LevelLine(
            (*(before,) * cut, *none * (len(names) - cut)),
            (f"before {number(before)}",) * 2,
            "centre",
        ),
        LevelLine(
            (*none * cut, *(after,) * (len(names) - cut)),
            (f"after {number(after)}",) * 2,
            "centre",
        ),
    )
    series = Series(
        tuple(names),
        tuple(rates),
        quantity,
        levels=levels,
        divide=(change_at, change),
    )
    return drawn(key, told, lambda sheet: paint_series(sheet, series))


def _sentence(
    result: Segmented, before: float, after: float, quantity: str, change: str
) -> str:
    level = result.level
    start = (
        f"At the change ({change}) the level went to {number(level.ratio)} times what "
        f"it was before, with 95 % limits {_limits(level)}"
    )
    told = "more than chance explains" if _is_sure(level) else "that may be chance"
    means = f"the mean was {number(before)} {quantity} before and {number(after)} after"
    trend = ""
    if result.trend_change is not None:
        drift = result.trend_change
        trend = f", and the trend of each period to {number(drift.ratio)} times "
        trend += f"({_limits(drift)})"
    return f"{start}{trend}: {told}; {means}. {result.caution}"


def _limits(effect: RatioEffect) -> str:
    low, high = effect.limits.low, effect.limits.high
    return span(low or 0.0, float("inf") if high is None else high)


def _is_sure(effect: RatioEffect) -> bool:
    low, high = effect.limits.low, effect.limits.high
    return low is not None and high is not None and not low <= 1.0 <= high
