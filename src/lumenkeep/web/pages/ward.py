"""The ward view, and the strips it fetches again when something has changed."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.lines_now import ward_now
from lumenkeep.ward.chart.pages.context import (
    ALL,
    Asker,
    must_see,
    page_context,
    show,
    zone_of,
)
from lumenkeep.ward.concerns.pages.ward import ConcernMarks, concern_marks
from lumenkeep.web.pages.ward_page import STRIPS_AT_ONCE, WardStrips, ward_strips

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from django.http import HttpRequest

    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.site.people import StaffRecord, WardRecord


NOTHING_NEW = 204
LINE_SLOT = "0-0"


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Go to the ward of whoever asks, or to all wards."""
    person = person_signed_in(request)
    wards = wards_open_to(person, page_context().chart.wards())
    only = wards[0].key if len(wards) == 1 else ALL
    return redirect("ward", person.ward or only)


@require_safe
@never_cache
def ward(request: HttpRequest, key: str) -> HttpResponse:
    """Show every line of a ward as a strip."""
    at, person = page_context(), person_signed_in(request)
    wards = wards_open_to(person, at.chart.wards())
    name = _name(wards, key, person)
    now = at.clock.now()
    newest = at.chart.newest_entry()
    stop = None if request.GET.get("shown") == ALL else STRIPS_AT_ONCE
    marks = _marks(at, wards, key, now)
    strips = _strips(at, wards, key, now, marks, stop=stop)
    page = _page(key, strips, newest, now, marks)
    return show(
        request,
        "lumenkeep/ward.html",
        {"page": {**page, "title": name, "key": key}},
        Asker(person, wards),
        here=key,
    )


@require_safe
@never_cache
def strips(request: HttpRequest, key: str) -> HttpResponse:
    """Answer a page that asks for its strips again, or for further ones.

    ``seen`` and ``minute`` say what the page shows; when neither has moved there is
    nothing to send.
    """
    at = page_context()
    now = at.clock.now()
    start = _whole(request, "start")
    newest = at.chart.newest_entry()
    seen = _whole(request, "seen")
    is_poll = not start
    if is_poll and seen == newest and request.GET.get("minute") == _minute(now):
        return HttpResponse(status=NOTHING_NEW)
    person = person_signed_in(request)
    wards = wards_open_to(person, at.chart.wards())
    _name(wards, key, person)
    marks = _marks(at, wards, key, now)
    if is_poll:
        stop = max(STRIPS_AT_ONCE, _whole(request, "shown"))
        found = _strips(at, wards, key, now, marks, stop=stop, seen=seen)
    else:
        stop = start + STRIPS_AT_ONCE
        found = _strips(at, wards, key, now, marks, start=start, stop=stop)
    page = _page(key, found, newest, now, marks)
    template = "lumenkeep/ward_again.html" if is_poll else "lumenkeep/ward_further.html"
    return render(request, template, {"page": page, "oob": is_poll})


def _strips(
    at: WardContext,
    wards: Sequence[WardRecord],
    key: str,
    now: datetime,
    marks: ConcernMarks,
    *,
    start: int = 0,
    stop: int | None = STRIPS_AT_ONCE,
    seen: int | None = None,
) -> WardStrips:
    seen_keys = {ward.key for ward in wards}
    rows = [
        row
        for row in ward_now(at, now, None if key == ALL else key)
        if row.record.ward in seen_keys or len(seen_keys) > 1
    ]
    before, after = reverse("line", args=[LINE_SLOT]).split(LINE_SLOT)
    return ward_strips(
        rows,
        now,
        zone_of(wards, key),
        lambda line: f"{before}{line}{after}",
        start=start,
        stop=len(rows) if stop is None else stop,
        seen=seen,
        ward_names={ward.key: ward.name for ward in wards} if key == ALL else None,
        concerns=marks.by_line,
        held_lines=marks.held,
    )


def _marks(
    at: WardContext, wards: Sequence[WardRecord], key: str, now: datetime
) -> ConcernMarks:
    return concern_marks(at, [w for w in wards if key in (ALL, w.key)], now)


def _page(
    key: str, found: WardStrips, newest: int, now: datetime, marks: ConcernMarks
) -> dict[str, object]:
    strips_href = reverse("ward-strips", args=[key])
    more = f"{strips_href}?{urlencode({'start': found.shown})}" if found.left else ""
    return {
        "sentence": found.sentence,
        "rest": f"{found.rest} {marks.words}".strip(),
        # Written and escaped in shapes/strip_html.py.
        "axis_html": mark_safe(found.axis_html),  # noqa: S308
        "strips_html": mark_safe(found.strips_html),  # noqa: S308
        "total": found.total,
        "seen": newest,
        "minute": _minute(now),
        "strips_href": strips_href,
        "more_href": more,
        "more_words": f"Show {counted(found.left, 'more line', 'more lines')}",
        "whole_href": f"{reverse('ward', args=[key])}?shown={ALL}",
    }


def _name(wards: Sequence[WardRecord], key: str, person: StaffRecord) -> str:
    if key == ALL:
        return "All wards"
    names = {ward.key: ward.name for ward in wards}
    if key in names:
        return names[key]
    must_see(person, key)
    raise Http404


def _minute(now: datetime) -> str:
    return f"{now:%Y%m%dT%H%M}"


def _whole(request: HttpRequest, name: str) -> int:
    text = request.GET.get(name, "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0  # noqa: PLR2004
