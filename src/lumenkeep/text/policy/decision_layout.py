"""Places for the decision chart: questions in one column, answers beside them.

Places that nothing leads to come first, then those that only these lead to, and so on.
Boxes are as high as their wrapped text. The way on to the dressing runs along the outer
edge, so no two cross.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING

from lumenkeep.text.policy.decision_chart import COVER, QUESTION, START

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lumenkeep.text.policy.decision_chart import DecisionChart, Node, Way

QUESTION_WIDTH, BETWEEN, ANSWER_WIDTH, EDGE = 372, 104, 270, 22
"""Widths of the columns, of what lies between them, and of the outer edge (px)."""
MARGIN = 3
GAP = 40
PADDING = 12
BAND = 12
"""Width of the band on the left of an answer (px)."""
TITLE_SIZE, TEXT_SIZE, WORD_SIZE, LINE = 15.0, 14.0, 13.0, 19
ASCENT = 14
HANG = 13
"""Indent of what hangs under a dash (px)."""
STEP_ROOM = 30
WORD_RISE = 6
NARROW, WIDE = "ijltfrI.,:;'’()- ", "mwMW%–"
EM_NARROW, EM_PLAIN, EM_CAPITAL, EM_WIDE, BOLD = 0.34, 0.56, 0.68, 0.88, 1.07
"""Widths of letters (em), on the generous side: text must not leave its box."""


@dataclass(frozen=True, slots=True)
class LineOfText:
    """What stands in one row of a box; ``kind`` is "title", "text" or "dash"."""

    text: str
    x: float
    y: float
    kind: str


@dataclass(frozen=True, slots=True)
class Box:
    """A place drawn: where, how large, and the lines in it."""

    key: str
    kind: str
    x: float
    y: float
    width: float
    height: float
    lines: tuple[LineOfText, ...]

    @property
    def middle(self) -> float:
        """Height at which a way leaves or arrives from the side."""
        return self.y + self.height / 2


@dataclass(frozen=True, slots=True)
class Arrow:
    """A way drawn: its corners from start to tip, and its word."""

    start: str
    end: str
    corners: tuple[tuple[float, float], ...]
    word: LineOfText | None


@dataclass(frozen=True, slots=True)
class ChartLayout:
    """The whole drawing (px)."""

    width: float
    height: float
    boxes: tuple[Box, ...]
    arrows: tuple[Arrow, ...]


@lru_cache(maxsize=64)
def in_order(chart: DecisionChart) -> tuple[str, ...]:
    """Return the places' keys, each after all that lead to it.

    Raises
    ------
    ValueError
        The ways lead round in a circle.
    """
    place = {node.key: number for number, node in enumerate(chart.nodes)}
    ways = TopologicalSorter[str](dict.fromkeys(place, ()))
    for way in chart.ways:
        ways.add(way.end, way.start)
    try:
        ways.prepare()
    except CycleError as error:
        raise ValueError("the decision leads round in a circle") from error
    order: list[str] = []
    while ways.is_active():
        row = sorted(ways.get_ready(), key=place.__getitem__)
        order += row
        ways.done(*row)
    return tuple(order)


def lay_out(chart: DecisionChart, numbers: dict[str, int]) -> ChartLayout:
    """Return the drawing's boxes and arrows.

    Parameters
    ----------
    chart
        The chart.
    numbers
        Number of each question, shown in its box.
    """
    beside = {way.end: way.start for way in chart.ways if way.aside}
    spine = [key for key in _spine(chart) if key not in beside]
    boxes: dict[str, Box] = {}
    y: float = MARGIN
    for key in spine:
        row = [key, *(end for end, start in beside.items() if start == key)]
        found = [_box(chart.node(k), numbers.get(k), aside=k in beside) for k in row]
        height = max(box.height for box in found)
        for box in found:
            boxes[box.key] = _moved(box, y + (height - box.height) / 2)
        y += height + GAP
    width = 2 * MARGIN + QUESTION_WIDTH + BETWEEN + ANSWER_WIDTH + EDGE
    arrows = tuple(_arrow(way, boxes) for way in chart.ways)
    in_place = tuple(boxes[node.key] for node in chart.nodes)
    return ChartLayout(width, y - GAP + MARGIN, in_place, arrows)


def _spine(chart: DecisionChart) -> list[str]:
    """Return the keys from top to bottom; the dressing comes after every antiseptic."""
    order = list(in_order(chart))
    if "cover" not in order:
        return order
    below = {"cover"}
    for key in order:  # each comes after all that lead to it
        below |= {way.end for way in chart.ways if way.start == key and key in below}
    return [k for k in order if k not in below] + [k for k in order if k in below]


def _moved(box: Box, down: float) -> Box:
    lines = tuple(LineOfText(li.text, li.x, li.y + down, li.kind) for li in box.lines)
    return Box(box.key, box.kind, box.x, box.y + down, box.width, box.height, lines)


def _box(node: Node, number: int | None, *, aside: bool) -> Box:
    """Return a box at the top of the drawing, as high as its text."""
    width = ANSWER_WIDTH if aside else QUESTION_WIDTH
    x = MARGIN + (QUESTION_WIDTH + BETWEEN if aside else 0)
    band = 0 if node.kind in (START, COVER, QUESTION) else BAND
    left, room = x + PADDING + band, width - 2 * PADDING - band
    title = f"{number}. {node.title}" if number else node.title
    lines: list[LineOfText] = []
    y: float = PADDING
    for text in wrapped(title, room, TITLE_SIZE * BOLD):
        lines.append(LineOfText(text, left, y + ASCENT, "title"))
        y += LINE
    for paragraph in node.lines:
        y += 2
        hangs = HANG if node.kind == QUESTION else 0
        for place, text in enumerate(wrapped(paragraph, room - hangs, TEXT_SIZE)):
            if hangs and place == 0:
                lines.append(LineOfText("–", left, y + ASCENT, "dash"))
            lines.append(LineOfText(text, left + hangs, y + ASCENT, "text"))
            y += LINE
    return Box(node.key, node.kind, x, 0, width, y + PADDING, tuple(lines))


def text_width(text: str, size: float) -> float:
    """Return a generous estimate of a text's width (px)."""
    ems = 0.0
    for letter in text:
        if letter in NARROW:
            ems += EM_NARROW
        elif letter in WIDE:
            ems += EM_WIDE
        else:
            ems += EM_CAPITAL if letter.isupper() else EM_PLAIN
    return ems * size


def wrapped(text: str, room: float, size: float) -> Iterator[str]:
    """Yield a text in lines that fit, broken at spaces wherever that can be."""
    line = ""
    for word in _pieces(text, room, size):
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, size) > room:
            yield line
            longer = word
        line = longer
    yield line


def _pieces(text: str, room: float, size: float) -> Iterator[str]:
    """Yield the words; one that is wider than a whole line comes in pieces."""
    for word in text.split():
        piece = ""
        for letter in word:
            if piece and text_width(piece + letter, size) > room:
                yield piece
                piece = ""
            piece += letter
        yield piece


def _arrow(way: Way, boxes: dict[str, Box]) -> Arrow:
    start, end = boxes[way.start], boxes[way.end]
    if way.aside:
        y = start.middle
        return _with_word(way, [(start.x + start.width, y), (end.x, y)])
    centre = MARGIN + QUESTION_WIDTH / 2
    if end.kind == COVER and start.x > MARGIN:
        out = MARGIN + QUESTION_WIDTH + BETWEEN + ANSWER_WIDTH + EDGE
        turn = end.y - GAP / 2
        corners = [
            (start.x + start.width, start.middle),
            (out, start.middle),
            (out, turn),
            (centre, turn),
            (centre, end.y),
        ]
        return _with_word(way, corners)
    return _with_word(way, [(centre, start.y + start.height), (centre, end.y)])


def _with_word(way: Way, corners: Sequence[tuple[float, float]]) -> Arrow:
    word = None
    (x, y), (x2, y2) = corners[0], corners[1]
    if way.word and y == y2:
        word = LineOfText(way.word, (x + x2) / 2, y - WORD_RISE, "over")
    elif way.word:
        word = LineOfText(way.word, x + PADDING, (y + y2) / 2 + WORD_RISE, "word")
    return Arrow(way.start, way.end, tuple(corners), word)
