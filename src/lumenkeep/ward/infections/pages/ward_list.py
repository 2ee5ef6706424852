"""The infections of a ward in a period: what is counted, what waits for whom."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.desk import ALL, desk, must_see, show, zone_of
from lumenkeep.ward.infections.infections_of import infections_in
from lumenkeep.ward.infections.pages.desk import children
from lumenkeep.ward.infections.pages.row import grouped
from lumenkeep.ward.infections.pages.words import day_words
from lumenkeep.ward.site.pages.day_asked import day_asked
from lumenkeep.ward.site.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.infections.infection import Infection
    from lumenkeep.ward.site.people import StaffRecord, WardRecord

PERIOD = timedelta(days=89)


@require_safe
@never_cache
@or_say_why
def ward_infections(request: HttpRequest, key: str) -> HttpResponse:
    """Show the infections of a ward, or of all, in a period."""
    at, person = desk(), person_signed_in(request)
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
        person=person,
        wards=open_wards,
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
