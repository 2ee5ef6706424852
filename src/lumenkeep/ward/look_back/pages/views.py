"""Look back on a ward and period: the page, its PDF, and what is behind a figure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.errors import InputError
from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.context import (
    Asker,
    must_see,
    page_context,
    show,
    to_own_ward,
)
from lumenkeep.ward.look_back.assemble import look_back
from lumenkeep.ward.look_back.pages.shape import (
    period_in_words,
    rows_behind,
    sections_shown,
)
from lumenkeep.ward.look_back.paper import look_back_pdf
from lumenkeep.ward.look_back.request import LONGEST
from lumenkeep.ward.look_back.sources import look_back_sources
from lumenkeep.ward.site.pages.days import day_asked
from lumenkeep.ward.site.people import WardRecord

if TYPE_CHECKING:
    from django.http import HttpRequest

    from lumenkeep.ward.look_back.parts import LookBack

USUAL_DAYS = 90
PRESETS = (30, 90, 365)


@dataclass(frozen=True, slots=True)
class Asking(Asker):
    """Who looks back on what; ``fault`` says why the days typed could not be used."""

    ward: WardRecord
    now: datetime
    first: date
    last: date
    fault: str

    @property
    def query(self) -> str:
        """The days as the end of an address."""
        days = {"from": self.first.isoformat(), "to": self.last.isoformat()}
        return f"?{urlencode(days)}"

    @property
    def presets(self) -> tuple[tuple[str, str], ...]:
        """Words and address of the usual periods, up to today."""
        today = self.ward.day_of(self.now)
        return tuple(
            (f"Last {days} days", f"?{urlencode({'from': day, 'to': today})}")
            for days in PRESETS
            for day in (today - timedelta(days=days - 1),)
        )


def asking(request: HttpRequest, key: str) -> Asking:
    """Return what is asked; the last ninety days where no days, or bad ones, are told.

    Raises
    ------
    Http404
        There is no such ward.
    PermissionDenied
        The ward is not this person's.
    """
    at, person = page_context(), person_signed_in(request)
    wards = wards_open_to(person, at.chart.wards())
    found = next((ward for ward in wards if ward.key == key), None)
    if found is None:
        must_see(person, key)
        raise Http404
    now = at.clock.now()
    today = now.astimezone(found.zone).date()
    usual = today - timedelta(days=USUAL_DAYS - 1), today
    typed = request.GET.get("from", ""), request.GET.get("to", "")
    if not any(typed):
        return Asking(person, wards, found, now, *usual, "")
    first, last = (day_asked(text) for text in typed)
    if first is None or last is None:
        fault = "Those are no two days; here are the last ninety."
        return Asking(person, wards, found, now, *usual, fault)
    if first > last or first > today or last - first > LONGEST:
        fault = (
            "The first day lies after the last, is still to come, or lies more than "
        )
        fault += "ten years before it; here are the last ninety."
        return Asking(person, wards, found, now, *usual, fault)
    return Asking(person, wards, found, now, first, last, "")


def looked_back(asking: Asking) -> LookBack:
    """Return the look-back asked for.

    Raises
    ------
    Http404
        The days cannot be looked back on.
    """
    at = page_context()
    sources = look_back_sources(at.chart.wards(), at.clock)
    try:
        return look_back(
            sources, asking.ward.key, asking.first, asking.last, asking.now
        )
    except InputError as error:
        raise Http404 from error


AT_ONCE = 500


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Go to the look-back of one's own ward, or of the first one."""
    return to_own_ward(request, "look-back")


@require_safe
@never_cache
def ward(request: HttpRequest, key: str) -> HttpResponse:
    """Show a ward and period looked back on."""
    asked = asking(request, key)
    found = looked_back(asked)
    days = (asked.last - asked.first).days + 1
    context = {
        "asking": asked,
        "period": period_in_words(asked.first, asked.last),
        "days": counted(days, "day", "days"),
        "found": found,
        "sections": sections_shown(found, asked.query),
        "pdf_href": reverse("look-back-pdf", args=[key]) + asked.query,
        "others": [
            (one.name, reverse("look-back", args=[one.key]) + asked.query)
            for one in asked.wards
            if one.key != key
        ],
    }
    return show(
        request,
        "lumenkeep/look_back/ward.html",
        context,
        asked,
        here=key,
    )


@require_safe
@never_cache
def paper(request: HttpRequest, key: str) -> HttpResponse:
    """Send the look-back as a PDF."""
    asked = asking(request, key)
    found = looked_back(asked)
    pictures = {
        section.key: [one.drawing for one in section.pictures]
        for section in found.sections
    }
    answer = HttpResponse(look_back_pdf(found, pictures), "application/pdf")
    name = f"look-back-{key}-{asked.first}-{asked.last}.pdf"
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer


@require_safe
@never_cache
def behind(request: HttpRequest, key: str, section: str, figure: str) -> HttpResponse:
    """Show every entry behind a figure."""
    asked = asking(request, key)
    found = looked_back(asked)
    part = found.section(section)
    one = part.figure(figure) if part is not None else None
    if part is None or one is None:
        raise Http404
    rows = rows_behind(found, one)
    shown = len(rows) if request.GET.get("shown") == "all" else AT_ONCE
    context = {
        "asking": asked,
        "period": period_in_words(asked.first, asked.last),
        "section": part,
        "figure": one,
        "rows": rows[:shown],
        "left": len(rows) - shown if len(rows) > shown else 0,
        "all_href": f"{asked.query}&shown=all",
        "back_href": reverse("look-back", args=[key]) + asked.query,
    }
    return show(
        request,
        "lumenkeep/look_back/behind.html",
        context,
        asked,
        here=key,
    )
