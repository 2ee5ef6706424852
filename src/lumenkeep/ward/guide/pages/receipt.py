"""The receipt by which a tablet knows that what it told has arrived, and which of it.

A tablet may hold the only copy of what was done at a bedside. It lets go of a run only
against a receipt that names that run and, by its digest, the very bytes it sent.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from django.http import JsonResponse
from django.urls import reverse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest

    from lumenkeep.core.model.entry import Entry
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
