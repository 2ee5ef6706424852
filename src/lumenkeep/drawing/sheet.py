"""A sheet on which a drawing is painted: the few shapes we use, as SVG text.

State is shown by shape, pattern and word; the colours only repeat it.

A little on the wide side, so that what is laid out by it does not touch.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.drawing.decision_svg import escape

if TYPE_CHECKING:
    from collections.abc import Sequence

INK, SOFT, FAINT, DEEP, ALARM, GROUND = (
    "#1b2230",
    "#525b69",
    "#d8d1c2",
    "#1b5567",
    "#9c2a1a",
    "#ffffff",
)

ROLES = {
    "ground": f'fill="{GROUND}"',
    "grid": f'stroke="{FAINT}" stroke-width="1" fill="none"',
    "axis": f'stroke="{SOFT}" stroke-width="1" fill="none"',
    "centre": f'stroke="{DEEP}" stroke-width="1.75" fill="none"',
    "limit": f'stroke="{DEEP}" stroke-width="1.5" stroke-dasharray="7 4" fill="none"',
    "outer": f'stroke="{DEEP}" stroke-width="1.25" stroke-dasharray="2 3" fill="none"',
    "divide": f'stroke="{INK}" stroke-width="2" fill="none"',
    "leader": f'stroke="{ALARM}" stroke-width="1" stroke-dasharray="2 2" fill="none"',
    "trace": f'stroke="{INK}" stroke-width="1.5" stroke-linejoin="round" fill="none"',
    "trace-2": (
        f'stroke="{INK}" stroke-width="2" stroke-dasharray="9 4" '
        'stroke-linejoin="round" fill="none"'
    ),
    "trace-3": (
        f'stroke="{INK}" stroke-width="2" stroke-dasharray="2 3" '
        'stroke-linejoin="round" fill="none"'
    ),
    "reach": f'stroke="{INK}" stroke-width="2" fill="none"',
    "point": f'fill="{INK}" stroke="{GROUND}" stroke-width="1"',
    "hollow": f'fill="{GROUND}" stroke="{INK}" stroke-width="1.75"',
    "signal": f'fill="{GROUND}" stroke="{ALARM}" stroke-width="2.5"',
    "text": f'fill="{INK}"',
    "strong": f'fill="{INK}" font-weight="700"',
    "soft": f'fill="{SOFT}"',
    "alarm": f'fill="{ALARM}" font-weight="700"',
    "deep": f'fill="{DEEP}"',
}
BOLD_ROLES = ("strong", "alarm")


def looks(role: str) -> str:
    """Return the class and print attributes of a role."""
    return f'class="dr-{role}" {ROLES[role]}'


def patterns(key: str) -> str:
    """Return the patterns of the shaded bands: slanted lines, other way, and dots."""
    slant = (
        '<pattern id="{key}-{name}" width="7" height="7" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate({turn})"><rect class="dr-weave" '
        f'width="1.4" height="7" fill="{SOFT}"/></pattern>'
    )
    dots = (
        f'<pattern id="{key}-band-3" width="7" height="7" '
        'patternUnits="userSpaceOnUse"><circle class="dr-weave" cx="2" cy="2" r="1" '
        f'fill="{SOFT}"/></pattern>'
    )
    return (
        "<defs>"
        + slant.format(key=key, name="band", turn=45)
        + slant.format(key=key, name="band-2", turn=-45)
        + dots
        + "</defs>"
    )


TEXT_SIZE = 14.0
LINE_HEIGHT = 18.0
SLACK = 1.04
BOLD = 1.09
# Widths in parts of the letter size, after the shipped Atkinson Hyperlegible.
USUAL = 0.55
FIXED = "\N{NO-BREAK SPACE}"
WIDTHS = {
    FIXED: 0.3,
    **dict.fromkeys("ijl|!'", 0.28),
    **dict.fromkeys(".,:;", 0.21),
    **dict.fromkeys('frt()[]{}-/ I*?"', 0.38),
    **dict.fromkeys("ABCDEFGHKLNOPQRSTUVXYZ&w+=<>±×–−", 0.67),
    **dict.fromkeys("0123456789", 0.65),
    **dict.fromkeys("mMW%@—…", 0.9),
}


def text_width(text: str, size: float = TEXT_SIZE, *, bold: bool = False) -> float:
    """Return the width of a text on one line (units of the drawing)."""
    parts = sum(WIDTHS.get(sign, USUAL) for sign in text)
    return parts * size * SLACK * (BOLD if bold else 1.0)


def wrapped(text: str, width: float) -> tuple[str, ...]:
    """Return a text in lines that fit a width; a word is never cut."""
    lines: list[str] = []
    for word in text.replace(" %", f"{FIXED}%").split(" "):
        if lines and text_width(f"{lines[-1]} {word}") <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(lines)


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
