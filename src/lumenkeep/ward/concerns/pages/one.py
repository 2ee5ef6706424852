"""One concern in full, and taking it on at one touch."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from lumenkeep.core.entries.said import label_of
from lumenkeep.errors import ChartError, StoreError
from lumenkeep.text.moments import moment_in_words
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.charting import sent_keys
from lumenkeep.ward.chart.pages.desk import desk, show
from lumenkeep.ward.chart.pages.line_head import find_line, line_head
from lumenkeep.ward.concerns.acknowledge import acknowledge_concern
from lumenkeep.ward.concerns.at_hand import concern_at_hand
from lumenkeep.ward.concerns.pages.shape import concern_card
from lumenkeep.ward.site.may import may_close
from lumenkeep.ward.site.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@require_safe
@never_cache
@or_say_why
def concern(request: HttpRequest, key: str, concern: str) -> HttpResponse:
    """Show one concern."""
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    now, zone = at.clock.now(), found.ward.zone
    try:
        hand = concern_at_hand(at.chart, at.policies, key, concern, now)
    except ChartError as error:
        raise Http404 from error
    names = {one.key: one.name for one in at.staff.people(None)}
    card = concern_card(hand.concern, key, now, zone, names)
    shown = set(hand.concern.entries)
    entries = [
        (
            e.id,
            label_of(e.kind),
            moment_in_words(e.happened_at, now, zone),
        )
        for e in at.chart.entries(key)
        if e.id in shown
    ]
    context = {
        "line": line_head(at, found, now),
        "card": card,
        "entries": entries,
        "submission": str(uuid4()),
        "hand_on_href": reverse("concern-hand-on", args=[key, concern]),
        "close_href": reverse("concern-close", args=[key, concern]),
        "may_close": may_close(person, is_held=hand.concern.is_held),
    }
    return show(
        request,
        "lumenkeep/concerns/one.html",
        context,
        person=person,
        wards=wards_open_to(person, at.chart.wards()),
        here=found.ward.key,
    )


@require_POST
@never_cache
def take(request: HttpRequest, key: str, concern: str) -> HttpResponse:
    """Take a concern on; what stands in the way is said on its page."""
    at, person = desk(), person_signed_in(request)
    find_line(at, key, person)
    try:
        acknowledge_concern(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            concern=concern,
            typed={"note": request.POST.get("note", "")},
            by=person,
            submission=sent_keys(request)[1],
        )
    except ChartError as error:
        for fault in error.faults:
            messages.error(request, f"{fault.what} Please {fault.mend}.")
        return redirect("line", key)
    except StoreError as error:
        messages.error(request, f"{error.fault.what} Please {error.fault.mend}.")
        return redirect("concern", key, concern)
    messages.success(request, "On the chart: you have taken this concern on.")
    return redirect("concern", key, concern)
