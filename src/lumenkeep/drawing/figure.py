"""A drawing of outcomes: picture, what it says, and the numbers behind it.

One picture serves page and paper: shapes carry classes for the page's stylesheet
(``drawings.css``) and plain attributes in print colours for a file without one.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING

from lumenkeep.drawing.sheet import NARROW, WIDE, Sheet
from lumenkeep.text.shares import per_cent, share_span

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture that can be seen, read and heard.

    Attributes
    ----------
    title
        What is drawn, in a few words.
    sentence
        What it shows and how sure it is, in one plain sentence.
    alternative
        What is seen, for those who do not see it.
    header, rows
        The table of every number drawn; each row is as long as the header.
    svg, narrow
        The picture for a page or sheet, and for a phone.
    """

    title: str
    sentence: str
    alternative: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    svg: str
    narrow: str


@dataclass(frozen=True, slots=True)
class FigureText:
    """What a drawing says in words and numbers; see `Drawing`."""

    title: str
    sentence: str
    alternative: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def drawn(key: str, told: FigureText, paint: Callable[[Sheet], None]) -> Drawing:
    """Return a drawing painted at both widths.

    Parameters
    ----------
    key
        Names it on its page: letters, digits and hyphens, one drawing each.
    told
        Its words and its table.
    paint
        Paints it on an empty sheet and sets the sheet's height.
    """
    pictures = []
    for width, name in ((WIDE, key), (NARROW, f"{key}-narrow")):
        sheet = Sheet(width, name)
        paint(sheet)
        pictures.append(sheet.svg(told.title, told.alternative))
    return Drawing(
        told.title,
        told.sentence,
        told.alternative,
        told.header,
        told.rows,
        pictures[0],
        pictures[1],
    )


__all__ = ["counted", "listed", "number", "per_cent", "share_span", "span"]

MINUS = "−"


def number(value: float) -> str:
    """Return a number with as many digits as a reader needs: three, as a rule."""
    if not isfinite(value):
        return "no limit"
    if float(value).is_integer():
        return f"{value:,.0f}".replace("-", MINUS)
    size = abs(value)
    decimals = next((n for n, least in enumerate((100, 10, 0.1)) if size >= least), 3)
    return f"{value:,.{decimals}f}".replace("-", MINUS)


def span(low: float, high: float) -> str:
    """Return two limits."""
    return f"{number(low)} to {number(high)}"


def counted(count: int, thing: str, things: str | None = None) -> str:
    """Return a count with its noun: "1 month", "12 months"."""
    return f"{count:,} {thing if count == 1 else things or thing + 's'}"


def listed(items: list[str]) -> str:
    """Return items joined as in a sentence."""
    if len(items) <= 1:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"
