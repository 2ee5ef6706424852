"""Values of periods in a row with limits, signals and a change: most of our charts."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from lumenkeep.drawing.beside import NamedPoint, into_lanes, write_lanes
from lumenkeep.drawing.frame import (
    Axis,
    Frame,
    Label,
    draw_frame,
    left_edge,
    plot_height,
    right_edge,
    round_axis,
    stretched_axis,
    ticks_up,
    write_labels,
    write_title,
)
from lumenkeep.drawing.ticks import thinned

if TYPE_CHECKING:
    from lumenkeep.drawing.sheet import Sheet

HALF = 0.5


@dataclass(frozen=True, slots=True)
class LevelLine:
    """A line across: one value for each period, or None where it is not drawn.

    ``words`` stand at its end for a wide and for a narrow drawing.
    """

    values: tuple[float | None, ...]
    words: tuple[str, str]
    role: str = "limit"
    is_joined: bool = False

    @property
    def last(self) -> float:
        """Where it ends."""
        return next(v for v in reversed(self.values) if v is not None)


@dataclass(frozen=True, slots=True)
class Series:
    """What is painted.

    Attributes
    ----------
    names
        Of the periods, in order.
    values
        One for each; None where nothing is known.
    measured
        What the upright axis counts.
    levels
        Centre, limits and other lines.
    signals
        Number of a period (from 1) and the word for what was seen there.
    divide
        Number of the first period after a change, and the word for it.
    is_stretched
        Whether small values are drawn apart.
    """

    names: tuple[str, ...]
    values: tuple[float | None, ...]
    measured: str
    across: str = ""
    levels: tuple[LevelLine, ...] = ()
    signals: tuple[tuple[int, str], ...] = ()
    divide: tuple[int, str] | None = None
    is_stretched: bool = False


def paint_series(sheet: Sheet, series: Series) -> None:
    """Paint periods in a row."""
    up = _upright(sheet, series)
    labels = [
        Label(level.last, level.words[1 if sheet.is_narrow else 0], "deep")
        for level in series.levels
    ]
    left, right = left_edge(up), right_edge(sheet, labels)
    across = Axis(
        HALF,
        len(series.names) + HALF,
        tuple((float(n), name) for n, name in enumerate(series.names, 1)),
    )
    across = Axis(across.low, across.high, _thinned(across, right - left))
    lanes = into_lanes(_named(series, across, up), left, right, sheet.width)
    top = write_title(sheet, series.measured) + lanes.height + 2.0
    frame = Frame(left, right, top, top + plot_height(sheet), across, up)
    draw_frame(sheet, frame, series.across)
    if series.divide is not None:
        x = frame.x(series.divide[0] - HALF)
        sheet.line("divide", (x, frame.top), (x, frame.bottom))
    for level in series.levels:
        _paint_level(sheet, frame, level)
    _paint_values(sheet, frame, series)
    write_lanes(sheet, frame, lanes)
    write_labels(sheet, frame, labels)


def _thinned(across: Axis, width: float) -> tuple[tuple[float, str], ...]:
    names = [name for _, name in across.marks]
    spacing = width / max(1, len(names))
    return tuple(across.marks[n] for n in thinned(names, spacing))


def _upright(sheet: Sheet, series: Series) -> Axis:
    seen = [v for v in series.values if v is not None]
    seen += [v for level in series.levels for v in level.values if v is not None]
    if series.is_stretched:
        return stretched_axis(max([*seen, 1.0]))
    return round_axis(min([0.0, *seen]), max(seen, default=1.0), ticks_up(sheet))


def _named(series: Series, across: Axis, up: Axis) -> list[NamedPoint]:
    """Return the words above: the change, and the first of each like run of signals."""
    found: dict[float, NamedPoint] = {}
    before: tuple[int, str] | None = None
    for number, word in series.signals:
        if before is None or before != (number - 1, word):
            value = series.values[number - 1] or 0.0
            at = float(number)
            seen = found.get(at)
            words = f"{seen.words}, {word}" if seen else word
            found[at] = NamedPoint(across.part(at), value, words)
        before = (number, word)
    if series.divide is not None:
        at = series.divide[0] - HALF
        found[at] = NamedPoint(across.part(at), up.high, series.divide[1], "strong")
    return [found[at] for at in sorted(found)]


def _paint_level(sheet: Sheet, frame: Frame, level: LevelLine) -> None:
    run: list[tuple[float, float]] = []
    for number, value in enumerate(level.values, 1):
        if value is None:
            _end(sheet, level, run)
            run = []
            continue
        y = frame.y(value)
        if level.is_joined:
            run.append((frame.x(number), y))
        else:
            run += [(frame.x(number - HALF), y), (frame.x(number + HALF), y)]
    _end(sheet, level, run)


def _end(sheet: Sheet, level: LevelLine, run: list[tuple[float, float]]) -> None:
    if run:
        sheet.trace(level.role, _straight(run))


def _straight(run: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return a run without the places a straight line passes anyway."""
    kept = run[:1]
    for here, after in pairwise(run[1:]):
        if not kept[-1][1] == here[1] == after[1]:
            kept.append(here)
    return [*kept, run[-1]]


def _paint_values(sheet: Sheet, frame: Frame, series: Series) -> None:
    places = [
        None if value is None else frame.place(number, value)
        for number, value in enumerate(series.values, 1)
    ]
    breaks = series.divide[0] - 1 if series.divide else -1
    run: list[tuple[float, float]] = []
    for number, place in enumerate(places):
        if place is None or number == breaks:
            _end_trace(sheet, run)
            run = []
        if place is not None:
            run.append(place)
    _end_trace(sheet, run)
    flagged = {number for number, _ in series.signals}
    for number, place in enumerate(places, 1):
        if place is not None:
            if number in flagged:
                sheet.diamond(place)
            sheet.point(place)


def _end_trace(sheet: Sheet, run: list[tuple[float, float]]) -> None:
    if len(run) > 1:
        sheet.trace("trace", run)
