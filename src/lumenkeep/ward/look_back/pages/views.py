"""Look back on a ward and period: the page, its PDF, and what is behind a figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.desk import desk, show
from lumenkeep.ward.look_back.pages.asking import asking, looked_back
from lumenkeep.ward.look_back.pages.shape import (
    period_in_words,
    rows_behind,
    sections_shown,
)
from lumenkeep.ward.look_back.paper import look_back_pdf
from lumenkeep.ward.look_back.pictures import drawing_of

if TYPE_CHECKING:
    from django.http import HttpRequest

AT_ONCE = 500


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Go to the look-back of one's own ward, or of the first one."""
    person = person_signed_in(request)
    wards = wards_open_to(person, desk().chart.wards())
    if not wards:
        raise Http404
    return redirect("look-back", person.ward or wards[0].key)


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
        person=asked.person,
        wards=asked.wards,
        here=key,
    )


@require_safe
@never_cache
def paper(request: HttpRequest, key: str) -> HttpResponse:
    """Send the look-back as a PDF."""
    asked = asking(request, key)
    found = looked_back(asked)
    pictures = {
        section.key: [drawing_of(picture) for picture in section.pictures]
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
        person=asked.person,
        wards=asked.wards,
        here=key,
    )
