"""What the look-back's page shows: sections with links to what is behind each figure."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import NoReverseMatch, reverse

from lumenkeep.core.entries.said import label_of
from lumenkeep.text.moments import counted, plain_day_and_time
from lumenkeep.ward.site.pages.shapes import Link, Told

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.drawing import Drawing
    from lumenkeep.ward.look_back.parts import (
        Elsewhere,
        LookBack,
        LookFigure,
        LookSection,
    )

PAGES = {"infection": "infection", "policy": "policy-version"}


def period_in_words(first: date, last: date) -> str:
    """Return a period, as in "28 Aug to 25 Nov 2026"."""
    if first == last:
        return f"{last.day} {last:%b %Y}"
    start = f"{first.day} {first:%b}"
    if first.year != last.year:
        start += f" {first.year}"
    return f"{start} to {last.day} {last:%b %Y}"


FigureRow = tuple["LookFigure", Link | None]
"""A figure, and the way to what is behind it; None where nothing is."""


def sections_shown(
    found: LookBack, query: str
) -> list[tuple[LookSection, list[FigureRow], list[Drawing]]]:
    """Return the sections, each with its figures and drawings.

    ``query`` carries the days into their links.
    """
    return [
        (
            section,
            [(one, _behind(found, section, one, query)) for one in section.figures],
            [one.drawing for one in section.pictures],
        )
        for section in found.sections
    ]


def _behind(
    found: LookBack, section: LookSection, figure: LookFigure, query: str
) -> Link | None:
    words = [
        *([counted(len(figure.entries), "entry", "entries")] if figure.entries else []),
        *([f"{len(figure.elsewhere)} more"] if figure.elsewhere else []),
    ]
    if not words:
        return None
    names = [found.ward.key, section.key, figure.key]
    return Link(", ".join(words), reverse("look-back-behind", args=names) + query)


def rows_behind(found: LookBack, figure: LookFigure) -> tuple[Told, ...]:
    """Return everything behind a figure, the newest entry first."""
    traced = [found.traced[id_] for id_ in figure.entries if id_ in found.traced]
    traced.sort(key=lambda one: (one.happened_at, one.id), reverse=True)
    entries = [
        Told(
            plain_day_and_time(one.happened_at, found.ward.zone),
            f"{label_of(one.kind)}, entry {one.id}",
            f"{reverse('line', args=[one.line])}?entries=all#entry-{one.id}"
            if one.line
            else "",
        )
        for one in traced
    ]
    return (*(_elsewhere(found, one) for one in figure.elsewhere), *entries)


def _elsewhere(found: LookBack, one: Elsewhere) -> Told:
    return Told("", f"{one.kind.capitalize()}: {one.words}", _href(found, one))


def _href(found: LookBack, one: Elsewhere) -> str:
    days = {"from": found.first.isoformat(), "to": found.last.isoformat()}
    if one.kind == "round":
        return f"{reverse('rounds', args=[found.ward.key])}?{urlencode(days)}"
    if one.kind == "count":
        return f"{reverse('outcome-days', args=[found.ward.key])}?{urlencode(days)}"
    name = PAGES.get(one.kind)
    try:
        return reverse(name, args=[one.key]) if name else ""
    except NoReverseMatch:
        return ""
