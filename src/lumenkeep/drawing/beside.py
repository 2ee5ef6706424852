"""Names beside points, each where it touches neither a point nor another name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.drawing.roles import BOLD_ROLES
from lumenkeep.drawing.sheet import Place
from lumenkeep.drawing.text_width import LINE_HEIGHT, text_width

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.drawing.frame import Frame
    from lumenkeep.drawing.sheet import Sheet

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
