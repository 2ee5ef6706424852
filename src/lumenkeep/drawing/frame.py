"""The frame of a drawing with two axes: scales, ticks, titles, direct labels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.drawing.sheet import BOLD_ROLES, LINE_HEIGHT, text_width, wrapped
from lumenkeep.drawing.ticks import round_ticks, stretched_ticks, tick_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.drawing.sheet import Place, Sheet

STRETCH = 3.6  # the power that makes times between rare events nearly normal
MARGIN = 6.0
TICK_GAP = 8.0
TITLE_GAP = 14.0
FOOT = 5.0  # from the middle of a line of text to its foot
WIDE_PLOT, NARROW_PLOT = 250.0, 220.0
WIDE_TICKS, NARROW_TICKS = 6, 5
CLOSEST = 20.0


@dataclass(frozen=True, slots=True)
class Axis:
    """A scale from ``low`` to ``high`` and what is marked on it.

    ``is_stretched`` draws small values apart: the axis then begins at 0.
    """

    low: float
    high: float
    marks: tuple[tuple[float, str], ...]
    is_stretched: bool = False

    def part(self, value: float) -> float:
        """Return how far along the axis a value lies, 0 to 1."""
        value = min(max(value, self.low), self.high)
        if self.is_stretched:
            return float((value / self.high) ** (1.0 / STRETCH))
        return (value - self.low) / (self.high - self.low)


def round_axis(low: float, high: float, about: int) -> Axis:
    """Return an axis between round numbers around two values."""
    ticks = round_ticks(low, high, about)
    marks = tuple((tick, tick_text(tick, ticks)) for tick in ticks)
    return Axis(ticks[0], ticks[-1], marks)


def stretched_axis(high: float) -> Axis:
    """Return an axis from 0 on which small values stand apart."""
    ticks = stretched_ticks(high)
    marks = tuple((tick, tick_text(tick, (tick,))) for tick in ticks)
    return Axis(0.0, ticks[-1], marks, is_stretched=True)


@dataclass(frozen=True, slots=True)
class Frame:
    """Where values come to lie on the sheet."""

    left: float
    right: float
    top: float
    bottom: float
    across: Axis
    up: Axis

    def x(self, value: float) -> float:
        """Return the place of a value across."""
        return self.left + self.across.part(value) * (self.right - self.left)

    def y(self, value: float) -> float:
        """Return the place of a value upwards."""
        return self.bottom - self.up.part(value) * (self.bottom - self.top)

    def place(self, across: float, up: float) -> Place:
        """Return the place of a point."""
        return self.x(across), self.y(up)


def left_edge(up: Axis) -> float:
    """Return where a plot begins, right of its tick labels."""
    return max(text_width(label) for _, label in up.marks) + TICK_GAP + MARGIN


def right_edge(sheet: Sheet, labels: Sequence[Label]) -> float:
    """Return where a plot ends, left of its direct labels."""
    widest = max((label.width for label in labels), default=0.0)
    return sheet.width - widest - (TICK_GAP if labels else 0.0) - 2.0 * MARGIN


def plot_height(sheet: Sheet) -> float:
    """Return how tall a plot is on this sheet."""
    return NARROW_PLOT if sheet.is_narrow else WIDE_PLOT


def ticks_up(sheet: Sheet) -> int:
    """Return about how many ticks an upright axis has on this sheet."""
    return NARROW_TICKS if sheet.is_narrow else WIDE_TICKS


def write_title(sheet: Sheet, words: str) -> float:
    """Write what is measured above the plot; return where it ends."""
    y = LINE_HEIGHT
    for line in wrapped(words, sheet.width - 2.0 * MARGIN):
        sheet.text(0.0, y, line, "soft")
        y += LINE_HEIGHT
    return y - LINE_HEIGHT + TITLE_GAP


def draw_frame(sheet: Sheet, frame: Frame, across_title: str = "") -> None:
    """Draw ticks, grid and axes, and set the sheet's height below them."""
    last = frame.bottom + CLOSEST
    for tick, label in frame.up.marks:
        y = frame.y(tick)
        if y <= last - CLOSEST or y == frame.bottom:
            sheet.line("grid", (frame.left, y), (frame.right, y))
            sheet.text(frame.left - TICK_GAP, y + FOOT, label, "soft", "end")
            last = y
    sheet.line("axis", (frame.left, frame.bottom), (frame.right, frame.bottom))
    _mark_across(sheet, frame)
    y = frame.bottom + TICK_GAP + LINE_HEIGHT
    if across_title:
        for line in wrapped(across_title, sheet.width - 2.0 * MARGIN):
            y += LINE_HEIGHT
            sheet.text((frame.left + frame.right) / 2.0, y, line, "soft", "middle")
    sheet.height = y + TICK_GAP


def _mark_across(sheet: Sheet, frame: Frame) -> None:
    reach = -MARGIN
    foot = frame.bottom + TICK_GAP + LINE_HEIGHT - FOOT
    for value, label in frame.across.marks:
        x, half = frame.x(value), text_width(label) / 2.0
        middle = min(max(x, half + MARGIN), sheet.width - half - MARGIN)
        if middle - half < reach + TICK_GAP:
            continue
        sheet.line("axis", (x, frame.bottom), (x, frame.bottom + TICK_GAP / 2.0))
        sheet.text(middle, foot, label, "soft", "middle")
        reach = middle + half


@dataclass(frozen=True, slots=True)
class Label:
    """A word at the end of a line, where its line ends on the upright axis."""

    at: float
    words: str
    role: str = "soft"

    @property
    def width(self) -> float:
        """How wide it stands."""
        return text_width(self.words, bold=self.role in BOLD_ROLES)


def write_labels(sheet: Sheet, frame: Frame, labels: Sequence[Label]) -> None:
    """Write labels right of the plot, each as near its line as the others let it."""
    ordered = sorted(labels, key=lambda label: -label.at)
    places = spread([frame.y(label.at) for label in ordered], frame.top, frame.bottom)
    for label, y in zip(ordered, places, strict=True):
        end = frame.y(label.at)
        sheet.line("axis", (frame.right, end), (frame.right + TICK_GAP - 1.0, y))
        sheet.text(frame.right + TICK_GAP, y + FOOT, label.words, label.role)


def spread(places: Sequence[float], top: float, bottom: float) -> list[float]:
    """Return rising places moved apart by a line of text each, between two edges."""
    found: list[float] = []
    for place in places:
        least = found[-1] + LINE_HEIGHT if found else top
        found.append(max(place, least))
    limit = max(bottom, top + LINE_HEIGHT * (len(found) - 1))
    for index in range(len(found) - 1, -1, -1):
        found[index] = min(found[index], limit)
        limit = found[index] - LINE_HEIGHT
    return found
