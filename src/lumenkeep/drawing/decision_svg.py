"""The decision chart as SVG, the same to the byte for the same chart.

Shapes carry classes for the page's stylesheet, and plain attributes in black on
white for a file that stands alone; the stylesheet goes before them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.sax.saxutils import escape as escaped

from lumenkeep.text.policy.decision_chart import ANSWER, STOP
from lumenkeep.text.policy.decision_layout import (
    BAND,
    TEXT_SIZE,
    TITLE_SIZE,
    WORD_SIZE,
    lay_out,
)
from lumenkeep.text.policy.decision_steps import step_numbers

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.text.policy.decision_chart import DecisionChart
    from lumenkeep.text.policy.decision_layout import Arrow, Box, LineOfText

FONTS = "Atkinson Hyperlegible, sans-serif"
NAMED = (
    f'role="img" aria-labelledby="decision-title decision-desc" font-family="{FONTS}"'
)
HATCH = (
    '<defs><pattern id="decision-hatch" width="8" height="8" '
    'patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect class="d-hatch-ground" width="8" height="8" fill="#fff"/>'
    '<rect class="d-hatch-line" width="4" height="8" fill="#000"/>'
    "</pattern></defs>"
)
ROUND, TIP_LONG, TIP_HALF = 9, 8, 4.5
SIZES = {"title": TITLE_SIZE, "over": WORD_SIZE, "word": WORD_SIZE}
DESCRIPTION = (
    "Questions stand one below the other on the left. Where none of what a question "
    "lists is so, an arrow leads right to the answer; otherwise it leads down. "
    "The same is told in numbered steps."
)


def decision_svg(chart: DecisionChart) -> str:
    """Return the chart drawn."""
    layout = lay_out(chart, step_numbers(chart))
    size = f'width="{_n(layout.width)}" height="{_n(layout.height)}"'
    view = f'viewBox="0 0 {_n(layout.width)} {_n(layout.height)}"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" class="decision" {size} {view} {NAMED}>',
        f'<title id="decision-title">{escape(chart.title)}</title>',
        f'<desc id="decision-desc">{escape(f"{DESCRIPTION} {chart.note}")}</desc>',
        HATCH,
        f'<rect class="d-ground" {size} fill="#fff"/>',
        *(part for arrow in layout.arrows for part in _arrow(arrow)),
        *(part for box in layout.boxes for part in _box(box)),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def escape(text: str) -> str:
    """Return a text that may stand in the drawing; a drawing holds no control signs."""
    plain = (" " if sign.isspace() else sign for sign in text)
    return escaped("".join(sign for sign in plain if sign.isprintable()))


def quoted(text: str) -> str:
    """Return a text that may stand between the quotes of an attribute."""
    return escape(text).replace('"', "&quot;")


def _n(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")


def _box(box: Box) -> Iterator[str]:
    where = f'x="{_n(box.x)}" y="{_n(box.y)}"'
    tall = f'height="{_n(box.height)}"'
    weight = "2.5" if box.kind == STOP else "1.5"
    yield f'<g class="d-box d-{box.kind}" data-key="{quoted(box.key)}">'
    yield (
        f'<rect class="d-frame" {where} width="{_n(box.width)}" {tall} rx="{ROUND}" '
        f'fill="#fff" stroke="#000" stroke-width="{weight}"/>'
    )
    if box.kind in (ANSWER, STOP):
        fill = "url(#decision-hatch)" if box.kind == STOP else "#000"
        band = _band(box)
        yield f'<path class="d-band" d="{band}" fill="{fill}"/>'
    yield from (_text(line) for line in box.lines)
    yield "</g>"


def _band(box: Box) -> str:
    """Return the band on the left of an answer, rounded as its frame is."""
    x, y, below = box.x, box.y, box.y + box.height
    return (
        f"M{_n(x + BAND)} {_n(y)}H{_n(x + ROUND)}"
        f"Q{_n(x)} {_n(y)} {_n(x)} {_n(y + ROUND)}V{_n(below - ROUND)}"
        f"Q{_n(x)} {_n(below)} {_n(x + ROUND)} {_n(below)}H{_n(x + BAND)}Z"
    )


def _text(line: LineOfText) -> str:
    size = _n(SIZES.get(line.kind, TEXT_SIZE))
    more = ' font-weight="700"' if line.kind == "title" else ""
    more += ' text-anchor="middle"' if line.kind == "over" else ""
    return (
        f'<text class="d-{line.kind}" x="{_n(line.x)}" y="{_n(line.y)}" '
        f'font-size="{size}"{more}>{escape(line.text)}</text>'
    )


def _arrow(arrow: Arrow) -> Iterator[str]:
    (x, _), (x2, y2) = arrow.corners[-2], arrow.corners[-1]
    path = "M" + "L".join(f"{_n(a)} {_n(b)}" for a, b in arrow.corners)
    yield (
        f'<path class="d-way" data-from="{quoted(arrow.start)}" '
        f'data-to="{quoted(arrow.end)}" d="{path}" fill="none" stroke="#000" '
        'stroke-width="1.5" stroke-linejoin="round"/>'
    )
    if x == x2:
        tip = f"M{_n(x2)} {_n(y2)}l{-TIP_HALF} {-TIP_LONG}h{2 * TIP_HALF:g}Z"
    else:
        tip = f"M{_n(x2)} {_n(y2)}l{-TIP_LONG} {-TIP_HALF}v{2 * TIP_HALF:g}Z"
    yield f'<path class="d-tip" d="{tip}" fill="#000"/>'
    if arrow.word:
        yield _text(arrow.word)
