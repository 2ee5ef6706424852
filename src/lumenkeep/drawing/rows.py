"""Values with their limits, one row each: a name, a mark with its reach, the numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.drawing.frame import MARGIN, TICK_GAP, Axis, Frame, write_title
from lumenkeep.drawing.sheet import FIXED, LINE_HEIGHT, text_width, wrapped

if TYPE_CHECKING:
    from lumenkeep.drawing.sheet import Sheet

FOOT = 5.0
NAME_SHARE = 0.34
SECOND_LOWER = 9.0
LEAST_ROW = 30.0
ABOVE_MARK = 14.0


@dataclass(frozen=True, slots=True)
class ValueInRow:
    """A value with limits; ``is_second`` draws it hollow and a little lower."""

    value: float
    low: float
    high: float
    is_second: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A name, its marks, and the numbers beside them; no mark where none is known."""

    name: str
    marks: tuple[ValueInRow, ...]
    numbers: str


def paint_rows(
    sheet: Sheet,
    measured: str,
    rows: tuple[Row, ...],
    across: Axis,
    target: float | None,
) -> None:
    """Paint rows one below the other on one scale.

    Parameters
    ----------
    across
        The common scale.
    target
        A value to compare with, drawn through all rows; None for none.
    """
    top = write_title(sheet, measured)
    name_width = sheet.width * NAME_SHARE - 2 * MARGIN
    names = [wrapped(row.name, name_width) for row in rows]
    widest = max((text_width(row.numbers) for row in rows), default=0.0)
    left = MARGIN + 8 if sheet.is_narrow else sheet.width * NAME_SHARE
    right = sheet.width - MARGIN - (8 if sheet.is_narrow else widest + 2 * TICK_GAP)
    heights = [
        _height(sheet, row, lines) for row, lines in zip(rows, names, strict=True)
    ]
    frame = Frame(left, right, top, top + sum(heights), across, across)
    _scale(sheet, frame, target)
    y = top
    for row, lines, height in zip(rows, names, heights, strict=True):
        if sheet.is_narrow:
            middle = _write_narrow(sheet, row, y)
        else:
            middle = y + height / 2.0
            _write_wide(sheet, row, lines, middle)
        _paint_marks(sheet, frame, row, middle)
        y += height


def _height(sheet: Sheet, row: Row, lines: tuple[str, ...]) -> float:
    two = any(mark.is_second for mark in row.marks)
    if sheet.is_narrow:
        told = _narrow_lines(sheet, row)
        return len(told) * LINE_HEIGHT + 2 * ABOVE_MARK + (SECOND_LOWER if two else 0.0)
    return max(LEAST_ROW + (SECOND_LOWER if two else 0), len(lines) * LINE_HEIGHT + 10)


def _narrow_lines(sheet: Sheet, row: Row) -> tuple[str, ...]:
    numbers = row.numbers.replace(" ", FIXED)
    return wrapped(f"{row.name}: {numbers}", sheet.width - 2 * MARGIN)


def _write_narrow(sheet: Sheet, row: Row, y: float) -> float:
    lines = _narrow_lines(sheet, row)
    for n, line in enumerate(lines, 1):
        width = text_width(line)
        foot = y + n * LINE_HEIGHT - FOOT + 2
        sheet.clear(MARGIN, foot - LINE_HEIGHT + FOOT, width, LINE_HEIGHT)
        sheet.text(MARGIN, foot, line)
    return y + len(lines) * LINE_HEIGHT + ABOVE_MARK - FOOT


def _write_wide(sheet: Sheet, row: Row, lines: tuple[str, ...], middle: float) -> None:
    first = middle - (len(lines) - 1) * LINE_HEIGHT / 2.0 + FOOT
    for n, line in enumerate(lines):
        sheet.text(0.0, first + n * LINE_HEIGHT, line)
    sheet.text(sheet.width - MARGIN, middle + FOOT, row.numbers, "text", "end")


def _scale(sheet: Sheet, frame: Frame, target: float | None) -> None:
    foot = frame.bottom + TICK_GAP + LINE_HEIGHT - FOOT
    reach = -MARGIN
    for value, label in frame.across.marks:
        x, half = frame.x(value), text_width(label) / 2.0
        sheet.line("grid", (x, frame.top), (x, frame.bottom))
        middle = min(max(x, half + MARGIN), sheet.width - half - MARGIN)
        if middle - half > reach + TICK_GAP:
            sheet.text(middle, foot, label, "soft", "middle")
            reach = middle + half
    sheet.line("axis", (frame.left, frame.bottom), (frame.right, frame.bottom))
    if target is not None:
        x = frame.x(target)
        sheet.line("limit", (x, frame.top), (x, frame.bottom))
    sheet.height = foot + TICK_GAP


def _paint_marks(sheet: Sheet, frame: Frame, row: Row, middle: float) -> None:
    two = any(mark.is_second for mark in row.marks)
    for mark in row.marks:
        y = middle - (SECOND_LOWER / 2.0 if two and not mark.is_second else 0.0)
        y += SECOND_LOWER if mark.is_second else 0.0
        role = "axis" if mark.is_second else "reach"
        sheet.line(role, (frame.x(mark.low), y), (frame.x(mark.high), y))
        place = frame.x(mark.value), y
        if mark.is_second:
            sheet.square(place)
        else:
            sheet.point(place)
