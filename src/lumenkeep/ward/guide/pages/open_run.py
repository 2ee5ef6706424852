"""Open a guide, and send its bundle as soon as its ways back are worked out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import uuid4

from django.http import Http404, JsonResponse
from django.middleware.csrf import get_token
from django.urls import reverse
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_POST

from lumenkeep.core.recovery.chosen_branch import ASKED
from lumenkeep.errors import Fault
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.context import page_context
from lumenkeep.ward.chart.pages.line_head import find_line
from lumenkeep.ward.guide.open_guide import Wanted, open_again, open_guide
from lumenkeep.ward.guide.pages.context import (
    NOT_WRITTEN,
    faulty,
    find_run,
    in_json,
    runs,
    sent_table,
    ways,
)
from lumenkeep.ward.guide.practice_guide import practice_guide

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.guide.open_guide import OpenGuide

CREATED, OK, NOT_YET, GONE = 201, 200, 202, 410
LONGEST_WORD = 80


@require_GET
@in_json
def token(request: HttpRequest) -> HttpResponse:
    """Return the token that a sender of JSON must name."""
    return JsonResponse({"token": get_token(request)})


@require_POST
@gzip_page
@in_json
def open_run(request: HttpRequest) -> HttpResponse:
    """Open a guide."""
    at, person, sent = page_context(), person_signed_in(request), sent_table(request)
    line = _word(sent, "line")
    find_line(at, line, person)
    given = sent.get("answers")
    answers = {**sent, **given} if isinstance(given, dict) else sent
    wanted = Wanted(
        line=line,
        procedure=_word(sent, "procedure"),
        operator=person,
        assistant=_word(sent, "assistant"),
        answers={fact: str(answers[fact]) for fact in ASKED if fact in answers},
        tablet=_word(sent, "tablet"),
        why_href=reverse("plan", args=[line]),
    )
    opened = open_guide(at, runs(), ways(), wanted=wanted, key=str(uuid4()))
    return _sent(opened, CREATED if opened.is_new else OK)


@require_GET
@gzip_page
@in_json
def bundle(request: HttpRequest, run: str) -> HttpResponse:
    """Send the bundle of an opened guide."""
    at = page_context()
    found, _ = find_run(request, run)
    if found.closing is not None:
        return JsonResponse({"status": "closed", "how": found.closing.how}, status=GONE)
    return _sent(open_again(at, ways(), found), OK)


@require_GET
@gzip_page
@in_json
def practice(request: HttpRequest) -> HttpResponse:
    """Send a bundle to practise with."""
    at, person = page_context(), person_signed_in(request)
    ward = next(iter(wards_open_to(person, at.chart.wards())), None)
    if ward is None:
        raise Http404
    seed = request.GET.get("seed", "0")
    opened = practice_guide(
        at.policies.in_force(ward.policy_set, ward.key),
        ward,
        person,
        ways(),
        at.clock.now(),
        procedure=request.GET.get("procedure", "dressing-change"),
        seed=int(seed) if seed.isdecimal() else 0,
    )
    return _answer(opened.done, {"progress": opened.progress}, opened.failed)


def _sent(opened: OpenGuide, status: int) -> JsonResponse:
    so_far = {"run": opened.run.key, "progress": opened.progress}
    return _answer(opened.bundle, so_far, opened.failed, status)


def _answer(
    bundle: Mapping[str, Any] | None,
    so_far: dict[str, Any],
    failed: str,
    status: int = OK,
) -> JsonResponse:
    if bundle is not None:
        return JsonResponse(bundle, status=status)
    if failed:
        return faulty((_no_ways(),), NOT_WRITTEN)
    return JsonResponse(so_far, status=NOT_YET)


def _no_ways() -> Fault:
    return Fault(
        "guide-no-ways",
        "The ways back could not be worked out, so this guide is not ready.",
        "guide",
        "try again; if it fails again, work from the hospital's own procedure "
        "and call whoever runs the server",
    )


def _word(sent: dict[str, Any], name: str) -> str:
    found = sent.get(name)
    return found[:LONGEST_WORD] if isinstance(found, str) else ""
