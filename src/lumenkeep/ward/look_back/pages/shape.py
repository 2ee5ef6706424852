"""What the look-back's page shows: sections with links to what is behind each figure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import NoReverseMatch, reverse

from lumenkeep.core.entries.said import label_of
from lumenkeep.drawing import Drawing
from lumenkeep.text.moments import counted, plain_day_and_time
from lumenkeep.ward.look_back.pictures import drawing_of

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.ward.look_back.parts import (
        Elsewhere,
        LookBack,
        LookFigure,
        LookSection,
    )

PAGES = {"infection": "infection", "policy": "policy-version"}


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A figure with the way to what is behind it; "" where nothing is."""

    name: str
    value: str
    words: str
    behind_words: str
    behind_href: str


@dataclass(frozen=True, slots=True)
class SectionShown:
    """A section as the page shows it."""

    key: str
    title: str
    sentence: str
    figures: tuple[FigureRow, ...]
    drawings: tuple[Drawing, ...]
    lines: tuple[str, ...]
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BehindRow:
    """One thing behind a figure."""

    when: str
    what: str
    href: str


def period_in_words(first: date, last: date) -> str:
    """Return a period, as in "28 Aug to 25 Nov 2026"."""
    if first == last:
        return f"{last.day} {last:%b %Y}"
    start = f"{first.day} {first:%b}"
    if first.year != last.year:
        start += f" {first.year}"
    return f"{start} to {last.day} {last:%b %Y}"


def sections_shown(found: LookBack, query: str) -> tuple[SectionShown, ...]:
    """Return the sections; ``query`` carries the days into their links."""
    return tuple(
        SectionShown(
            section.key,
            section.title,
            section.sentence,
            tuple(_row(found, section, figure, query) for figure in section.figures),
            tuple(drawing_of(picture) for picture in section.pictures),
            section.lines,
            section.unknown,
        )
        for section in found.sections
    )


def _row(
    found: LookBack, section: LookSection, figure: LookFigure, query: str
) -> FigureRow:
    words = [
        *([counted(len(figure.entries), "entry", "entries")] if figure.entries else []),
        *([f"{len(figure.elsewhere)} more"] if figure.elsewhere else []),
    ]
    href = ""
    if words:
        names = [found.ward.key, section.key, figure.key]
        href = reverse("look-back-behind", args=names) + query
    return FigureRow(figure.name, figure.value, figure.words, ", ".join(words), href)


def rows_behind(found: LookBack, figure: LookFigure) -> tuple[BehindRow, ...]:
    """Return everything behind a figure, the newest entry first."""
    traced = [found.traced[id_] for id_ in figure.entries if id_ in found.traced]
    traced.sort(key=lambda one: (one.happened_at, one.id), reverse=True)
    entries = [
        BehindRow(
            plain_day_and_time(one.happened_at, found.ward.zone),
            f"{label_of(one.kind)}, entry {one.id}",
            f"{reverse('line', args=[one.line])}?entries=all#entry-{one.id}"
            if one.line
            else "",
        )
        for one in traced
    ]
    return (*(_elsewhere(found, one) for one in figure.elsewhere), *entries)


def _elsewhere(found: LookBack, one: Elsewhere) -> BehindRow:
    return BehindRow("", f"{one.kind.capitalize()}: {one.words}", _href(found, one))


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
