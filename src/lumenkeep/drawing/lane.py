"""Words above a plot that name marks in it, each on a line of its own if need be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.drawing.text_width import LINE_HEIGHT, text_width

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.drawing.frame import Frame
    from lumenkeep.drawing.sheet import Sheet

MOST_LANES = 4
APART = 10.0
EDGE = 4.0


@dataclass(frozen=True, slots=True)
class Named:
    """A word for the mark at a place: across as a share of the plot, up as a value."""

    across: float
    up: float
    words: str
    role: str = "alarm"


@dataclass(frozen=True, slots=True)
class Lanes:
    """Words with their lane, counted from the plot upwards, and middle."""

    placed: tuple[tuple[Named, int, float], ...]
    left_out: int

    @property
    def height(self) -> float:
        """Room that the words take above the plot."""
        lanes = max((lane for _, lane, _ in self.placed), default=-1) + 1
        return (lanes + (1 if self.left_out else 0)) * LINE_HEIGHT + (
            EDGE if lanes else 0.0
        )


def into_lanes(words: Sequence[Named], left: float, right: float, edge: float) -> Lanes:
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
    placed: list[tuple[Named, int, float]] = []
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
