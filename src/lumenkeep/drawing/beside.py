"""Words in and above a plot: beside their points, and on lines of their own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.drawing.sheet import BOLD_ROLES, LINE_HEIGHT, Place, text_width

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.drawing.frame import Frame
    from lumenkeep.drawing.sheet import Sheet

MOST_LANES = 4
APART = 10.0
EDGE = 4.0


@dataclass(frozen=True, slots=True)
class NamedPoint:
    """A word for the mark at a place: across as a share of the plot, up as a value."""

    across: float
    up: float
    words: str
    role: str = "alarm"


@dataclass(frozen=True, slots=True)
class Lanes:
    """Words with their lane, counted from the plot upwards, and middle."""

    placed: tuple[tuple[NamedPoint, int, float], ...]
    left_out: int

    @property
    def height(self) -> float:
        """Room that the words take above the plot."""
        lanes = max((lane for _, lane, _ in self.placed), default=-1) + 1
        return (lanes + (1 if self.left_out else 0)) * LINE_HEIGHT + (
            EDGE if lanes else 0.0
        )


def into_lanes(
    words: Sequence[NamedPoint], left: float, right: float, edge: float
) -> Lanes:
    """Return where each word stands, so that none touches another.

    Parameters
    ----------
    words
        In the order of their places across.
    left, right
        Edges of the plot.
    edge
        Right edge of the sheet.
    """
    ends = [-APART] * MOST_LANES
    placed: list[tuple[NamedPoint, int, float]] = []
    for word in words:
        half = text_width(word.words, bold=True) / 2.0
        x = left + word.across * (right - left)
        middle = min(max(x, half + EDGE), edge - half - EDGE)
        free = (n for n in range(MOST_LANES) if ends[n] + APART <= middle - half)
        lane = next(free, None)
        if lane is not None:
            ends[lane] = middle + half
            placed.append((word, lane, middle))
    return Lanes(tuple(placed), len(words) - len(placed))


def write_lanes(sheet: Sheet, frame: Frame, lanes: Lanes) -> None:
    """Draw the words and a thin line from each to its mark."""
    for word, lane, _ in lanes.placed:
        x = frame.left + word.across * (frame.right - frame.left)
        foot = frame.top - lane * LINE_HEIGHT - EDGE
        sheet.line("leader", (x, foot), (x, frame.y(word.up)))
    for word, lane, middle in lanes.placed:
        foot = frame.top - lane * LINE_HEIGHT - EDGE - EDGE
        width = text_width(word.words, bold=True)
        sheet.clear(middle - width / 2.0, foot - LINE_HEIGHT + EDGE, width, LINE_HEIGHT)
        sheet.text(middle, foot, word.words, word.role, "middle")
    if lanes.left_out:
        top = frame.top - lanes.height + LINE_HEIGHT - EDGE
        sheet.text(
            frame.left, top, f"and {lanes.left_out} more: see the table", "alarm"
        )


Box = tuple[float, float, float, float]
AWAY = 10.0
ROUND_POINT = 8.0
FOOT = 5.0


@dataclass(frozen=True, slots=True)
class Tag:
    """A name for a point at a place of the sheet."""

    place: Place
    words: str
    role: str = "text"


def write_beside(sheet: Sheet, frame: Frame, tags: Sequence[Tag]) -> int:
    """Write names beside their points, the first ones first; return how many fitted.

    A name that finds no room is left out; the table has it.
    """
    taken: list[Box] = [_round(tag.place) for tag in tags]
    written = 0
    for tag in tags:
        width = text_width(tag.words, bold=tag.role in BOLD_ROLES)
        boxes = _candidates(tag.place, width)
        box = next((b for b in boxes if _is_free(b, frame, taken)), None)
        if box is None:
            continue
        taken.append(box)
        sheet.clear(box[0], box[1], width, LINE_HEIGHT)
        sheet.text(box[0], (box[1] + box[3]) / 2.0 + FOOT, tag.words, tag.role)
        written += 1
    return written


def _round(place: Place) -> Box:
    x, y = place
    return (x - ROUND_POINT, y - ROUND_POINT, x + ROUND_POINT, y + ROUND_POINT)


def _candidates(place: Place, width: float) -> list[Box]:
    x, y = place
    half = LINE_HEIGHT / 2.0
    tops = (
        (x + AWAY, y - half),
        (x - AWAY - width, y - half),
        (x - width / 2.0, y - AWAY - LINE_HEIGHT),
        (x - width / 2.0, y + AWAY),
        (x + AWAY, y - AWAY - half),
        (x - AWAY - width, y - AWAY - half),
    )
    return [(a, b, a + width, b + LINE_HEIGHT) for a, b in tops]


def _is_free(box: Box, frame: Frame, taken: Sequence[Box]) -> bool:
    left, top, right, bottom = box
    if left < frame.left or right > frame.right or top < frame.top:
        return False
    if bottom > frame.bottom + 1.0:
        return False
    return not any(
        left < other[2] and other[0] < right and top < other[3] and other[1] < bottom
        for other in taken
    )
