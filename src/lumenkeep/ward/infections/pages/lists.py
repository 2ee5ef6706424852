"""The infections of a line's child, and those of a ward in a period."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.model import words
from lumenkeep.core.model.chart import standing
from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.context import (
    ALL,
    Asker,
    must_see,
    page_context,
    show,
    zone_of,
)
from lumenkeep.ward.chart.pages.kind_form import title_of
from lumenkeep.ward.chart.pages.line_head import find_line, line_head
from lumenkeep.ward.chart.store.children import ChildRepository
from lumenkeep.ward.infections.infections_of import infections_in, infections_of
from lumenkeep.ward.infections.pages.row import grouped
from lumenkeep.ward.infections.pages.words import day_words
from lumenkeep.ward.infections.timeline_of_chart import timeline_of_chart
from lumenkeep.ward.site.pages.days import day_asked
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.pages.shapes import Group, Link
from lumenkeep.ward.site.rights import may_see_ward

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.infections.infection import Infection
    from lumenkeep.ward.site.people import StaffRecord, WardRecord


def children() -> ChildRepository:
    """Return the chart, child by child."""
    return ChildRepository()


def must_see_child(person: StaffRecord, entries: Iterable[Entry]) -> None:
    """Refuse a person on none of whose wards the child has lain.

    Raises
    ------
    PermissionDenied
        All its stays were on wards that this person does not see.
    """
    wards = {
        str(entry.body["ward"])
        for entry in standing(entries)
        if entry.kind == "stay" and entry.body.get("ward")
    }
    if not any(may_see_ward(person, ward) for ward in wards):
        raise PermissionDenied


def lines_in_words(entries: Iterable[Entry]) -> dict[str, str]:
    """Return the child's lines by key, as in "PICC, left upper arm"."""
    return {
        str(entry.line): _line(entry)
        for entry in standing(entries)
        if entry.kind == "line-inserted"
    }


def _line(inserted: Entry) -> str:
    body = inserted.body
    kind = words.LINE_KINDS.get(body.get("kind") or "", "Line")
    site = words.SITES.get(body.get("site") or "", "")
    side = f"{body['side']} " if body.get("side") else ""
    return f"{kind}, {side}{site.lower() if side else site}" if site else kind


def names_of(entries: Iterable[Entry], wards: Sequence[WardRecord]) -> dict[str, str]:
    """Return lines and wards in words by key."""
    return {**lines_in_words(entries), **{ward.key: ward.name for ward in wards}}


def hrefs_of(entries: Iterable[Entry]) -> dict[int, str]:
    """Return where each entry stands in a line's history, by its id."""
    found = list(entries)
    first = next((str(e.line) for e in found if e.line is not None), None)
    if first is None:
        return {}
    return {
        entry.id: f"{reverse('line', args=[entry.line or first])}"
        f"?entries=all#entry-{entry.id}"
        for entry in found
    }


SECTIONS = (
    ("Blood and other specimens", ("specimen", "specimen-result", "organism")),
    ("What is seen", ("sign", "blood-count", "gut", "other-infection")),
    ("The line", ("line-tip", "line-access", "pus", "self-injection")),
    ("The child", ("condition", "transplant", "device")),
)


@require_safe
@never_cache
@or_say_why
def line_infections(request: HttpRequest, key: str) -> HttpResponse:
    """Show what was made of the child's blood, and what can be charted."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    wards = at.chart.wards()
    zones = {ward.key: ward.zone for ward in wards}
    entries = children().entries_of_child(found.record.child)
    infections = infections_of(found.record.child, entries, zones)
    awaited = timeline_of_chart(entries, zones, "").awaited
    result = reverse("chart-infection", args=[key, "specimen-result"])
    context = {
        "line": line_head(at, found, at.clock.now()),
        "groups": grouped(
            infections, {w.key: w.name for w in wards}, {found.record.child: ""}
        ),
        "awaited": [
            Link(
                f"{one.source.capitalize()} of {day_words(one.at.day)}",
                f"{result}?specimen={one.entry}",
            )
            for one in awaited
        ],
        "sections": [
            Group(
                title,
                tuple(
                    Link(title_of(kind), reverse("chart-infection", args=[key, kind]))
                    for kind in kinds
                ),
            )
            for title, kinds in SECTIONS
        ],
    }
    return show(
        request,
        "lumenkeep/infections/child.html",
        context,
        Asker.of(person, wards),
        here=found.ward.key,
    )


PERIOD = timedelta(days=89)


@require_safe
@never_cache
@or_say_why
def ward_infections(request: HttpRequest, key: str) -> HttpResponse:
    """Show the infections of a ward, or of all, in a period."""
    at, person = page_context(), person_signed_in(request)
    wards = at.chart.wards()
    open_wards = wards_open_to(person, wards)
    name = _name(open_wards, key, person)
    today = at.clock.now().astimezone(zone_of(open_wards, key)).date()
    last = _day(request, "to") or today
    first = _day(request, "from") or last - PERIOD
    found = infections_in(children(), wards, None if key == ALL else key, first, last)
    ward_names = {ward.key: ward.name for ward in wards}
    names = children().names({one.child for one in found})
    context = {
        "title": f"Infections, {name}",
        "ward_name": name,
        "ward_href": reverse("ward", args=[key]),
        "sentence": _sentence(found, None if key == ALL else key, name),
        "rest": _rest(found),
        "groups": grouped(found, ward_names, names),
        "first": first.isoformat(),
        "last": last.isoformat(),
        "period": f"{day_words(first)} to {day_words(last)}",
        "is_backwards": first > last,
    }
    return show(
        request,
        "lumenkeep/infections/ward.html",
        context,
        Asker(person, open_wards),
        here=key,
    )


def _name(wards: Sequence[WardRecord], key: str, person: StaffRecord) -> str:
    names = {ward.key: ward.name for ward in wards}
    if key in names:
        return names[key]
    if key == ALL and len(wards) > 1:
        return "all wards"
    must_see(person, key)
    raise Http404


def _day(request: HttpRequest, name: str) -> date | None:
    text = request.GET.get(name, "")
    if not text:
        return None
    day = day_asked(text)
    if day is None:
        raise Http404
    return day


def _sentence(found: Sequence[Infection], ward: str | None, name: str) -> str:
    counts = [one for one in found if one.is_clabsi and ward in (None, one.ward)]
    return (
        f"{counted(len(counts), 'infection belongs', 'infections belong')} to a line "
        f"on {name}."
    )


def _rest(found: Sequence[Infection]) -> str:
    undecided = [one for one in found if one.decision is None]
    unknown = [one for one in undecided if one.is_clabsi is None]
    parts = []
    if unknown:
        said = counted(len(unknown), "cannot be said yet", "cannot be said yet")
        parts.append(f"{said} for want of a fact")
    if len(undecided) > len(unknown):
        left = len(undecided) - len(unknown)
        parts.append(counted(left, "is not decided", "are not decided"))
    if not parts:
        return "Each has been decided." if found else "No blood grew anything."
    return f"Of {counted(len(found), 'finding', 'findings')} {' and '.join(parts)}."
