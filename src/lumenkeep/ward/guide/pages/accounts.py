"""What a guide asks and tells while it runs and at its end, and the receipt for it.

A tablet may hold the only copy of what was done at a bedside. It lets go of a run only
against a receipt that names that run and, by its digest, the very bytes it sent.
"""

from __future__ import annotations

import hashlib
from datetime import UTC
from typing import TYPE_CHECKING, Any

from django.http import JsonResponse
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from lumenkeep.core.reading.line_reading import carried
from lumenkeep.ward.chart.pages.context import page_context
from lumenkeep.ward.guide.account.send import CHANGED, send_account
from lumenkeep.ward.guide.facts_since import facts_since
from lumenkeep.ward.guide.open_guide import REASON, give_up_guide
from lumenkeep.ward.guide.pages.context import find_run, in_json, runs, sent_table
from lumenkeep.ward.guide.records import GIVEN_UP, WRITTEN

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.guide.facts_since import NewFact
    from lumenkeep.ward.guide.records import RunRecord


def receipt(
    request: HttpRequest, run: RunRecord, status: str, entries: Sequence[Entry] = ()
) -> JsonResponse:
    """Return the receipt for what a request told of a run.

    Parameters
    ----------
    status
        What became of it, as `docs/for-engineers/reference-guide.md` lists it.
    entries
        Of the run on the chart; none where nothing was done.
    """
    written = [entry.id for entry in entries]
    return JsonResponse(
        {
            "status": status,
            "run": run.key,
            "acknowledges": hashlib.sha256(request.body).hexdigest(),
            "entries": written,
            "line_url": _line_url(run, written),
        }
    )


def _line_url(run: RunRecord, written: list[int]) -> str:
    href = reverse("line", args=[run.line])
    return f"{href}?charted={written[0]}" if written else href


CONFLICT = 409


@require_GET
@in_json
def facts(request: HttpRequest, run: str) -> HttpResponse:
    """Say what was charted since a mark, and whether the guide is on the chart."""
    at = page_context()
    found, _ = find_run(request, run)
    mark = request.GET.get("mark", "") or found.mark
    news = facts_since(at, found, mark)
    return JsonResponse(
        {
            "mark": news.mark,
            "changed": _said(news.changed),
            "sent": _sent(found),
            "do_not_use": carried(news.do_not_use),
        }
    )


@require_POST
@in_json
def account(request: HttpRequest, run: str) -> HttpResponse:
    """Take what the guide tells: chart it once, or keep it beside the entry."""
    at = page_context()
    found, person = find_run(request, run)
    taken = send_account(at, runs(), run=found, sent=sent_table(request), by=person)
    if taken.status == CHANGED:
        said = {
            "status": CHANGED,
            "changed": _said(taken.changed),
            "mark": taken.mark,
        }
        return JsonResponse(said, status=CONFLICT)
    return receipt(request, found, taken.status, taken.entries)


@require_POST
@in_json
def give_up(request: HttpRequest, run: str) -> HttpResponse:
    """Close a guide with which nothing was done."""
    found, person = find_run(request, run)
    reason = sent_table(request).get(REASON)
    give_up_guide(
        runs(),
        page_context().clock,
        run=found,
        reason=reason if isinstance(reason, str) else "",
        by=person,
    )
    return receipt(request, found, GIVEN_UP)


def _said(changed: Iterable[NewFact]) -> list[dict[str, Any]]:
    return [
        {
            "what": fact.what,
            "at": fact.at.astimezone(UTC).isoformat(),
            "plan_differs": fact.plan_differs,
        }
        for fact in changed
    ]


def _sent(run: RunRecord) -> dict[str, str] | bool:
    if run.closing is None or run.closing.how != WRITTEN:
        return False
    names = {one.key: one.name for one in page_context().staff.people(None)}
    return {
        "by": names.get(run.closing.by, "somebody"),
        "at": run.closing.at.astimezone(UTC).isoformat(),
    }
