"""The infections of a line's child, and the forms to chart what determines them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.desk import desk, show
from lumenkeep.ward.chart.pages.kind_form import title_of
from lumenkeep.ward.chart.pages.line_head import find_line, line_head
from lumenkeep.ward.infections.infections_of import infections_of
from lumenkeep.ward.infections.pages.desk import children
from lumenkeep.ward.infections.pages.row import grouped
from lumenkeep.ward.infections.pages.words import day_words
from lumenkeep.ward.infections.timeline_of_chart import timeline_of_chart
from lumenkeep.ward.site.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

SECTIONS = (
    ("Blood and other specimens", ("specimen", "specimen-result", "organism")),
    ("What is seen", ("sign", "blood-count", "gut", "other-infection")),
    ("The line", ("line-tip", "line-access", "pus", "self-injection")),
    ("The child", ("condition", "transplant", "device")),
)


@dataclass(frozen=True, slots=True)
class FormLink:
    """A form and its address."""

    title: str
    href: str


@dataclass(frozen=True, slots=True)
class Section:
    """Forms that belong together."""

    title: str
    links: tuple[FormLink, ...]


@require_safe
@never_cache
@or_say_why
def line_infections(request: HttpRequest, key: str) -> HttpResponse:
    """Show what was made of the child's blood, and what can be charted."""
    at, person = desk(), person_signed_in(request)
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
            FormLink(
                f"{one.source.capitalize()} of {day_words(one.at.day)}",
                f"{result}?specimen={one.entry}",
            )
            for one in awaited
        ],
        "sections": [
            Section(
                title,
                tuple(
                    FormLink(
                        title_of(kind), reverse("chart-infection", args=[key, kind])
                    )
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
        person=person,
        wards=wards_open_to(person, wards),
        here=found.ward.key,
    )
