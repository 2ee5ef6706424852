"""Curves over time with competing ends: how many have failed, been changed, come out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.drawing.beside import NamedPoint, into_lanes, write_lanes
from lumenkeep.drawing.figure import (
    FigureText,
    drawn,
    listed,
    number,
    per_cent,
    share_span,
)
from lumenkeep.drawing.frame import (
    Axis,
    Frame,
    Label,
    draw_frame,
    left_edge,
    plot_height,
    right_edge,
    round_axis,
    write_labels,
    write_title,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.drawing.figure import Drawing
    from lumenkeep.drawing.sheet import Place, Sheet

TRACES = ("trace", "trace-2", "trace-3")
BANDS = ("band", "band-2", "band-3")
PARTS = (0.0, 0.25, 0.5, 0.75, 1.0)
WIDE_TICKS, NARROW_TICKS = 7, 5


@dataclass(frozen=True, slots=True)
class StepCurve:
    """A step curve: from each time on, so large a share (0 to 1), with limits.

    The first time is 0 as a rule. ``lows`` and ``highs`` may be empty.
    """

    name: str
    times: tuple[float, ...]
    values: tuple[float, ...]
    lows: tuple[float, ...] = ()
    highs: tuple[float, ...] = ()

    def at(self, time: float) -> int:
        """Return the index of the step that holds at a time."""
        before = [n for n, start in enumerate(self.times) if start <= time]
        return before[-1] if before else 0


@dataclass(frozen=True, slots=True)
class Horizon:
    """The time at which the curves are read off, and the word for it: "day 7"."""

    at: float
    words: str


def curves_chart(
    key: str,
    title: str,
    curves: Sequence[StepCurve],
    *,
    quantity: str,
    time_words: str = "days since the dressing was put on",
    horizon: Horizon | None = None,
    among: str = "",
    ends_at: float | None = None,
) -> Drawing:
    """Return up to three curves drawn with their limits as patterned bands.

    Parameters
    ----------
    quantity
        What the shares are of: "share of dressings that failed".
    horizon
        Read off and said in the sentence; the end of the curves where none is given.
    among
        How many, for the sentence: "240 dressings"; by default the quantity.
    ends_at
        Where the picture ends; by default the last step.
    """
    if not 0 < len(curves) <= len(TRACES):
        raise ValueError("one to three curves can be told apart")
    end = ends_at or max(curve.times[-1] for curve in curves) or 1.0
    read = horizon or Horizon(end, f"{number(end)}")
    told = FigureText(
        title,
        _sentence(curves, quantity, read, among),
        f"{len(curves)} step {'curve' if len(curves) == 1 else 'curves'} over "
        f"{time_words}, from 0 to {number(end)}. "
        + " ".join(_told(curve, read) for curve in curves),
        ("curve", time_words, quantity, "95 % limits"),
        tuple(row for curve in curves for row in _rows(curve, end)),
    )
    return drawn(
        key,
        told,
        lambda sheet: _paint(sheet, curves, quantity, time_words, horizon, end),
    )


def _told(curve: StepCurve, read: Horizon) -> str:
    n = curve.at(read.at)
    told = f"{curve.name} stands at {per_cent(curve.values[n])} at {read.words}"
    if curve.lows:
        told += f", limits {share_span(curve.lows[n], curve.highs[n])}"
    return f"{told}."


def _sentence(
    curves: Sequence[StepCurve], quantity: str, read: Horizon, among: str
) -> str:
    parts = []
    for curve in curves:
        n = curve.at(read.at)
        part = f"{curve.name} {per_cent(curve.values[n])}"
        if curve.lows:
            part += f" (95 % limits {share_span(curve.lows[n], curve.highs[n])})"
        parts.append(part)
    return f"By {read.words}, of {among or quantity}: {listed(parts)}."


def _rows(curve: StepCurve, end: float) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for n, (time, value) in enumerate(zip(curve.times, curve.values, strict=True)):
        if time <= end:
            reach = (
                share_span(curve.lows[n], curve.highs[n]) if curve.lows else "not known"
            )
            rows.append((curve.name, number(time), per_cent(value), reach))
    return rows


def _paint(
    sheet: Sheet,
    curves: Sequence[StepCurve],
    quantity: str,
    time_words: str,
    horizon: Horizon | None,
    end: float,
) -> None:
    highest = max(max((*curve.values, *curve.highs)) for curve in curves)
    up = _shares_up(highest)
    across = round_axis(0.0, end, NARROW_TICKS if sheet.is_narrow else WIDE_TICKS)
    across = Axis(0.0, end, tuple(m for m in across.marks if m[0] <= end))
    labels = [
        Label(curve.values[curve.at(end)], curve.name, "text") for curve in curves
    ]
    left, right = left_edge(up), right_edge(sheet, labels)
    named = (
        [NamedPoint(across.part(horizon.at), up.high, horizon.words, "strong")]
        if horizon
        else []
    )
    lanes = into_lanes(named, left, right, sheet.width)
    top = write_title(sheet, quantity) + lanes.height
    frame = Frame(left, right, top, top + plot_height(sheet), across, up)
    draw_frame(sheet, frame, time_words)
    for curve, band in zip(curves, BANDS, strict=False):
        if curve.lows:
            highs = _steps(frame, curve, curve.highs, end)
            lows = _steps(frame, curve, curve.lows, end)
            sheet.band([*highs, *reversed(lows)], band)
    if horizon:
        x = frame.x(horizon.at)
        sheet.line("divide", (x, frame.top), (x, frame.bottom))
    for curve, trace in zip(curves, TRACES, strict=False):
        sheet.trace(trace, _steps(frame, curve, curve.values, end))
    write_lanes(sheet, frame, lanes)
    write_labels(sheet, frame, labels)


def _shares_up(highest: float) -> Axis:
    axis = round_axis(0.0, max(highest, 0.01), 5)
    marks = tuple((v, per_cent(v)) for v, _ in axis.marks if v <= 1.0)
    return Axis(0.0, min(1.0, axis.high), marks)


def _steps(
    frame: Frame, curve: StepCurve, values: Sequence[float], end: float
) -> list[Place]:
    places: list[Place] = []
    for time, value in zip(curve.times, values, strict=True):
        if time > end:
            break
        x, y = frame.place(time, value)
        if places:
            places.append((x, places[-1][1]))
        places.append((x, y))
    return [*places, (frame.x(end), places[-1][1])]
