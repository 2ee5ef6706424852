"""Rates of wards with their limits, the shrunk estimate beside the raw one."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING

from lumenkeep.drawing.figure import FigureText, counted, drawn, number, span
from lumenkeep.drawing.frame import round_axis
from lumenkeep.drawing.rows import Row, ValueInRow, paint_rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.drawing.figure import Drawing

ABOUT_TICKS = 5


@dataclass(frozen=True, slots=True)
class DrawnEstimate:
    """A value with limits, in the unit that is drawn."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class UnitRate:
    """A ward's rate: as counted, and drawn towards the others.

    ``raw`` is None where there was no time at risk.
    """

    name: str
    events: int
    line_days: float
    raw: DrawnEstimate | None
    shrunk: DrawnEstimate | None = None


def unit_rates(
    key: str,
    title: str,
    units: Sequence[UnitRate],
    *,
    quantity: str = "infections per 1000 line-days",
    mean: float | None = None,
) -> Drawing:
    """Return rates of wards drawn one below the other.

    Parameters
    ----------
    mean
        Of all wards together, in the same unit; drawn as a dashed line.
    """
    estimates = [e for unit in units for e in (unit.raw, unit.shrunk) if e is not None]
    axis = round_axis(0.0, max([e.high for e in estimates], default=1.0), ABOUT_TICKS)
    has_shrunk = any(unit.shrunk for unit in units)
    heading = f"{quantity}, with 95 % limits"
    if has_shrunk:
        heading += "; dot: as counted, square: drawn towards the other wards"
    if mean is not None:
        heading += f"; dashed line: all wards, {number(mean)}"
    rows = tuple(Row(unit.name, _marks(unit), _numbers(unit)) for unit in units)
    more = ("drawn towards the others", "its 95 % limits") if has_shrunk else ()
    told = FigureText(
        title,
        _sentence(units, quantity),
        f"One row for each of {counted(len(units), 'ward')}: a dot for the rate, a line "
        "for its 95 % limits. " + " ".join(_told(unit) for unit in units),
        ("ward", "infections", "line-days", quantity, "95 % limits", *more),
        tuple(_row(unit, is_both=has_shrunk) for unit in units),
    )
    return drawn(key, told, lambda sheet: paint_rows(sheet, heading, rows, axis, mean))


def _marks(unit: UnitRate) -> tuple[ValueInRow, ...]:
    marks = []
    if unit.raw is not None:
        marks.append(ValueInRow(unit.raw.value, unit.raw.low, unit.raw.high))
    if unit.shrunk is not None:
        shrunk = unit.shrunk
        marks.append(ValueInRow(shrunk.value, shrunk.low, shrunk.high, is_second=True))
    return tuple(marks)


def _numbers(unit: UnitRate) -> str:
    if unit.raw is None:
        return "no line-days"
    return f"{number(unit.raw.value)} ({span(unit.raw.low, unit.raw.high)})"


def _told(unit: UnitRate) -> str:
    if unit.raw is None:
        return f"{unit.name}: no line-days, so no rate."
    told = f"{unit.name}: {number(unit.raw.value)}, limits "
    told += span(unit.raw.low, unit.raw.high)
    if unit.shrunk is not None:
        told += f"; drawn towards the others {number(unit.shrunk.value)}"
    return f"{told}."


def _row(unit: UnitRate, *, is_both: bool) -> tuple[str, ...]:
    cells = [unit.name, number(unit.events), number(unit.line_days)]
    for estimate in (unit.raw, unit.shrunk) if is_both else (unit.raw,):
        if estimate is None:
            cells += ["not known", "not known"]
        else:
            cells += [number(estimate.value), span(estimate.low, estimate.high)]
    return tuple(cells)


def _sentence(units: Sequence[UnitRate], quantity: str) -> str:
    known = [(unit.raw, unit) for unit in units if unit.raw is not None]
    if not known:
        return "There were no line-days, so there is no rate."
    raw, highest = max(known, key=lambda pair: pair[0].value)
    start = f"{highest.name} had {number(raw.value)} {quantity} "
    limits = f"(95 % limits {span(raw.low, raw.high)})"
    if len(known) == 1:
        return f"{start}{limits}."
    if raw.value == 0:
        return (
            f"No ward had an infection; {highest.name} can be no surer than {limits}."
        )
    others = [other for other, unit in known if unit is not highest]
    overlap = all(other.high >= raw.low for other in others if isfinite(other.high))
    sure = "the limits overlap, so the order may be chance"
    if not overlap:
        sure = "its limits lie above those of at least one other ward"
    return f"{start}{limits}, the most of {counted(len(known), 'ward')}; {sure}."
