"""A sheet on which a drawing is painted: the few shapes we use, as SVG text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.drawing.decision_svg import escape
from lumenkeep.drawing.roles import BOLD_ROLES, looks, patterns
from lumenkeep.drawing.text_width import TEXT_SIZE, text_width

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDE, NARROW = 720.0, 340.0
FONTS = "Atkinson Hyperlegible, sans-serif"
POINT_RADIUS, SIGNAL_REACH, MARK_REACH = 3.75, 7.0, 4.5
PAD = 2.0

Place = tuple[float, float]


def short(value: float) -> str:
    """Return a coordinate, to a tenth."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


class Sheet:
    """An empty sheet of one width; its height is set by whoever paints.

    Places are in units of the drawing: from the left, and from the top.
    """

    def __init__(self, width: float, key: str) -> None:
        self.width = width
        self.height = 0.0
        self.key = key
        self._parts: list[str] = []

    @property
    def is_narrow(self) -> bool:
        """Whether it is the one for a phone."""
        return self.width == NARROW

    def line(self, role: str, start: Place, end: Place) -> None:
        """Draw a straight line."""
        self._parts.append(
            f'<line {looks(role)} x1="{short(start[0])}" y1="{short(start[1])}" '
            f'x2="{short(end[0])}" y2="{short(end[1])}"/>'
        )

    def trace(self, role: str, places: Sequence[Place]) -> None:
        """Draw a line through places."""
        self._parts.append(f'<path {looks(role)} d="{_way(places)}"/>')

    def band(self, places: Sequence[Place], pattern: str = "band") -> None:
        """Fill an area with a pattern: "band", "band-2" or "band-3"."""
        fill = f"url(#{self.key}-{pattern})"
        self._parts.append(
            f'<path class="dr-band" d="{_way(places)}Z" fill="{fill}" stroke="none"/>'
        )

    def point(self, place: Place, role: str = "point") -> None:
        """Draw a round mark."""
        self._parts.append(
            f'<circle {looks(role)} cx="{short(place[0])}" cy="{short(place[1])}" '
            f'r="{POINT_RADIUS}"/>'
        )

    def diamond(self, place: Place) -> None:
        """Draw the mark of a signal: a square on its corner, with its point inside."""
        x, y = place
        r = SIGNAL_REACH
        corners = [(x, y - r), (x + r, y), (x, y + r), (x - r, y)]
        self._parts.append(f'<path {looks("signal")} d="{_way(corners)}Z"/>')

    def square(self, place: Place, role: str = "hollow") -> None:
        """Draw a square mark."""
        x, y = place
        self._parts.append(
            f'<rect {looks(role)} x="{short(x - MARK_REACH)}" '
            f'y="{short(y - MARK_REACH)}" width="{2 * MARK_REACH:g}" '
            f'height="{2 * MARK_REACH:g}"/>'
        )

    def text(
        self, x: float, y: float, words: str, role: str = "text", anchor: str = "start"
    ) -> None:
        """Write on one line; ``y`` is its foot. It is moved to stay on the sheet."""
        width = text_width(words, bold=role in BOLD_ROLES)
        before = {"start": 0.0, "middle": width / 2.0, "end": width}[anchor]
        x = min(max(x, before + PAD), self.width - (width - before) - PAD)
        self._parts.append(
            f'<text {looks(role)} x="{short(x)}" y="{short(y)}" '
            f'font-size="{TEXT_SIZE:g}" text-anchor="{anchor}">{escape(words)}</text>'
        )

    def clear(self, x: float, y: float, width: float, height: float) -> None:
        """Paint the ground, so that a text stands clear of lines."""
        self._parts.append(
            f'<rect {looks("ground")} x="{short(x)}" y="{short(y)}" '
            f'width="{short(width)}" height="{short(height)}"/>'
        )

    def svg(self, title: str, alternative: str) -> str:
        """Return the picture."""
        name = self.key
        size = f"{short(self.width)} {short(self.height)}"
        ground = (
            f'<rect {looks("ground")} width="{short(self.width)}" '
            f'height="{short(self.height)}"/>'
        )
        kind = "narrow" if self.is_narrow else "wide"
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="dr dr-{kind}" '
            f'viewBox="0 0 {size}" width="{short(self.width)}" '
            f'height="{short(self.height)}" role="img" '
            f'aria-labelledby="{name}-title {name}-desc" font-family="{FONTS}">'
        )
        return "\n".join(
            [
                head,
                f'<title id="{name}-title">{escape(title)}</title>',
                f'<desc id="{name}-desc">{escape(alternative)}</desc>',
                patterns(name),
                ground,
                *self._parts,
                "</svg>",
            ]
        )


def _way(places: Sequence[Place]) -> str:
    return "M" + "L".join(f"{short(x)} {short(y)}" for x, y in places)
