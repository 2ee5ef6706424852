"""A funnel drawn: each ward against what chance allows for its size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.drawing.beside import Tag, write_beside
from lumenkeep.drawing.figure import FigureText, counted, drawn, listed, number
from lumenkeep.drawing.frame import (
    Frame,
    Label,
    draw_frame,
    left_edge,
    plot_height,
    right_edge,
    round_axis,
    ticks_up,
    write_labels,
    write_title,
)

if TYPE_CHECKING:
    from lumenkeep.drawing.figure import Drawing
    from lumenkeep.drawing.sheet import Sheet

STEPS = 60
BEYOND = (0.7, 1.05)  # how far the limits reach past the smallest and largest
ACROSS_TICKS = 6
NARROW_ACROSS = 4
Limits4 = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class FunnelUnit:
    """A ward: its size (infections predicted, or observations) and its value.

    ``limits`` are its own: outer low, inner low, inner high, outer high.
    """

    name: str
    size: float
    value: float
    limits: Limits4

    @property
    def place(self) -> str:
        """Where it lies, in words."""
        low_outer, low, high, high_outer = self.limits
        if self.value > high_outer:
            return "far above"
        if self.value > high:
            return "above"
        if self.value < low_outer:
            return "far below"
        return "below" if self.value < low else "inside"


@dataclass(frozen=True, slots=True)
class Funnel:
    """The wards, the target, and the limits at any size."""

    units: tuple[FunnelUnit, ...]
    target: float
    limits_at: Callable[[float], Sequence[float]]


def funnel_chart(
    key: str,
    title: str,
    funnel: Funnel,
    *,
    quantity: str = "ratio of observed to predicted infections",
    size_words: str = "infections predicted",
) -> Drawing:
    """Return a funnel drawn.

    Parameters
    ----------
    funnel
        ``limits_at`` gives the four limits for a size, as `funnel.ratio_limits` or
        `funnel.proportion_limits` do; it is asked at some sixty sizes.
    """
    outside = [unit for unit in funnel.units if unit.place != "inside"]
    told = FigureText(
        title,
        _sentence(funnel, outside, quantity),
        f"Dots for {counted(len(funnel.units), 'ward')} by {size_words}, with limits "
        f"that narrow about {number(funnel.target)} as wards grow. "
        + " ".join(
            f"{unit.name}: {number(unit.value)}, {unit.place} the limits."
            if unit.place != "inside"
            else f"{unit.name}: {number(unit.value)}, inside."
            for unit in funnel.units
        ),
        ("ward", size_words, quantity, "95 % limits", "99.8 % limits", "place"),
        tuple(
            (
                unit.name,
                number(unit.size),
                number(unit.value),
                f"{number(unit.limits[1])} to {number(unit.limits[2])}",
                f"{number(unit.limits[0])} to {number(unit.limits[3])}",
                unit.place,
            )
            for unit in funnel.units
        ),
    )
    largest = max(unit.size for unit in funnel.units)
    first = min(unit.size for unit in funnel.units) * BEYOND[0]
    step = (largest * BEYOND[1] - first) / STEPS
    sizes = [first + step * n for n in range(STEPS + 1)]
    curves = [(size, tuple(funnel.limits_at(size))) for size in sizes]
    return drawn(
        key, told, lambda sheet: _paint(sheet, funnel, curves, quantity, size_words)
    )


def _sentence(funnel: Funnel, outside: list[FunnelUnit], quantity: str) -> str:
    units = counted(len(funnel.units), "ward")
    if not outside:
        return (
            f"None of {units} lies outside what chance allows for its size about a "
            f"{quantity} of {number(funnel.target)}; small wards could hide much."
        )
    shown = listed([f"{u.name} ({number(u.value)}, {u.place})" for u in outside])
    return (
        f"{shown} {'lies' if len(outside) == 1 else 'lie'} outside the 95 % limits of "
        f"chance, among {units}; about one ward in twenty does so by chance alone."
    )


def _paint(
    sheet: Sheet,
    funnel: Funnel,
    curves: list[tuple[float, tuple[float, ...]]],
    quantity: str,
    size_words: str,
) -> None:
    highest = max(unit.value for unit in funnel.units)
    # Where all wards are small even the last outer limit lies high: it must be seen.
    ceiling = max(
        highest, curves[-1][1][3], min(curves[len(curves) // 8][1][3], 2.0 * highest)
    )
    up = round_axis(0.0, max(ceiling, funnel.target * 2.0), ticks_up(sheet))
    ticks = NARROW_ACROSS if sheet.is_narrow else ACROSS_TICKS
    across = round_axis(0.0, curves[-1][0], ticks)
    last = curves[-1][1]
    labels = [
        Label(last[3], "99.8 %", "deep"),
        Label(last[2], "95 %", "deep"),
        Label(funnel.target, number(funnel.target), "deep"),
        Label(last[1], "95 %", "deep"),
        Label(last[0], "99.8 %", "deep"),
    ]
    left, right = left_edge(up), right_edge(sheet, labels)
    top = write_title(sheet, quantity)
    frame = Frame(left, right, top, top + plot_height(sheet), across, up)
    draw_frame(sheet, frame, size_words)
    for column, role in ((0, "outer"), (1, "limit"), (2, "limit"), (3, "outer")):
        places = [(size, limits[column]) for size, limits in curves]
        inside = [(s, v) for s, v in places if v <= up.high]
        end = frame.x(across.high)
        way = [frame.place(s, v) for s, v in inside]
        sheet.trace(role, [*way, (end, way[-1][1])])
    sheet.line(
        "centre",
        frame.place(0.0, funnel.target),
        frame.place(across.high, funnel.target),
    )
    _paint_units(sheet, frame, funnel)
    write_labels(sheet, frame, labels)


def _paint_units(sheet: Sheet, frame: Frame, funnel: Funnel) -> None:
    # Those outside find room for their names first.
    ordered = sorted(funnel.units, key=lambda unit: unit.place == "inside")
    tags = [
        Tag(frame.place(unit.size, unit.value), unit.name)
        if unit.place == "inside"
        else Tag(
            frame.place(unit.size, unit.value), f"{unit.name}, {unit.place}", "alarm"
        )
        for unit in ordered
    ]
    write_beside(sheet, frame, tags)
    for unit in funnel.units:
        place = frame.place(unit.size, unit.value)
        if unit.place != "inside":
            sheet.diamond(place)
        sheet.point(place)
