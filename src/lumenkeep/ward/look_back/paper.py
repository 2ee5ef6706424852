"""The look-back of a ward and period on paper."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any, Protocol

from lumenkeep.paper.typeset import pdf_of
from lumenkeep.text.moments import plain_day

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lumenkeep.ward.look_back.parts import LookBack, LookFigure, LookSection

MOST_LISTED = 1000


class Picture(Protocol):
    """A drawing as paper needs it; `lumenkeep.drawing.Drawing` is one."""

    @property
    def title(self) -> str:
        """What is drawn."""

    @property
    def sentence(self) -> str:
        """What it shows."""

    @property
    def alternative(self) -> str:
        """What is seen."""

    @property
    def svg(self) -> str:
        """The picture."""

    @property
    def header(self) -> tuple[str, ...]:
        """Head of the table behind it."""

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """The table behind it."""


def look_back_pdf(
    found: LookBack, pictures: Mapping[str, Sequence[Picture]] | None = None
) -> bytes:
    """Return a look-back as PDF/UA-1.

    Parameters
    ----------
    found
        What was found.
    pictures
        Drawings by the key of their section.

    Notes
    -----
    At the end stand the numbers behind each drawing and the entries behind each
    figure, so that the sheet can be checked against the chart.
    """
    drawn = pictures or {}
    zone = found.ward.zone
    content = {
        "title": f"Look back: {found.ward.name}",
        "period": f"{plain_day(found.first)} to {plain_day(found.last)}",
        "looked": f"Looked at on {plain_day(found.at.astimezone(zone).date())}, "
        f"{found.at.astimezone(zone):%H:%M}",
        "sentence": found.sentence,
        "caution": found.caution,
        "left_out": ", ".join(found.left_out),
        "sections": [
            _section(section, drawn.get(section.key, ())) for section in found.sections
        ],
    }
    return pdf_of("look_back.typ", content, found.at)


def _section(section: LookSection, pictures: Sequence[Picture]) -> dict[str, Any]:
    return {
        "title": section.title,
        "sentence": section.sentence,
        "figures": [_figure(figure) for figure in section.figures],
        "pictures": [
            {
                "title": one.title,
                "sentence": one.sentence,
                "alternative": one.alternative,
                "svg": one.svg,
                "header": one.header,
                "rows": one.rows,
            }
            for one in pictures
        ],
        "lines": section.lines,
        "unknown": section.unknown,
    }


def _figure(figure: LookFigure) -> dict[str, Any]:
    rests = [_listed(figure.entries)] if figure.entries else []
    rests += [f"{one.kind} {one.words}" for one in figure.elsewhere]
    return {
        "name": figure.name,
        "value": figure.value,
        "words": figure.words,
        "count": len(figure.entries),
        "behind": "; ".join(rests),
    }


def _listed(entries: Sequence[int]) -> str:
    if len(entries) <= MOST_LISTED:
        return runs_of(entries)
    return (
        f"{len(entries):,} entries from {min(entries)} to {max(entries)}; the page of "
        "the same days lists each"
    )


def runs_of(numbers: Iterable[int]) -> str:
    """Return numbers in order, neighbours drawn together.

    Examples
    --------
    >>> runs_of([7, 1, 2, 3, 9])
    '1–3, 7, 9'
    """
    ordered = sorted(set(numbers))
    told = []
    for _, run in groupby(enumerate(ordered), lambda pair: pair[1] - pair[0]):
        members = [number for _, number in run]
        first, last = members[0], members[-1]
        told.append(str(first) if first == last else f"{first}–{last}")
    return ", ".join(told)
