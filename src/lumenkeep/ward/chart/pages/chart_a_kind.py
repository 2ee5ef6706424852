"""Chart an entry by hand: one form for each kind, made from what the registry says."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.core.entries import every_kind
from lumenkeep.core.model import known_or_none
from lumenkeep.core.planning import barred_now, plan_change
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.charting.chart_entry import CONNECTORS
from lumenkeep.ward.chart.charting.substances import (
    answers_before,
    told_before,
    words_before,
)
from lumenkeep.ward.chart.likely_reason import likely_reason
from lumenkeep.ward.chart.pages.change_cautions import cautions_of, with_barred
from lumenkeep.ward.chart.pages.fields import YES_NO, Field
from lumenkeep.ward.chart.pages.kind_form import chart_kind, filled_in
from lumenkeep.ward.chart.pages.names_meant import with_meant
from lumenkeep.ward.site.may import may_see_ward
from lumenkeep.ward.site.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.charting.bedside import Bedside
    from lumenkeep.ward.chart.pages.charting import FormPage

KIND_OF_TASK = {
    kind.task.word: kind.id for kind in every_kind().values() if kind.task is not None
} | {"set": "set-change", "port-needle": "needle-change"}
"""Kind of entry by the policy's word for the task."""
FACTS = ("weight", "sensitivities", "skin", "birth")
LEAD = (
    "Filled in from the plan where it could be. Put right whatever was done otherwise."
)
NO_SPECIMEN = "No specimen of this child is charted yet: chart the specimen first."
USUAL = {"method": "culture", "result": "pending", "source": "blood"}


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_any(request: HttpRequest, key: str, kind: str) -> HttpResponse:
    """Show the form of a kind of entry, or chart it."""
    return chart_kind(request, key, kind, finish=_FINISH.get(kind))


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_a_task(request: HttpRequest, key: str, task: str) -> HttpResponse:
    """Show the form of a recurring task, or chart it."""
    if task not in KIND_OF_TASK:
        raise Http404
    runs = request.GET.get("runs", "")

    def finish(page: FormPage, at_bed: Bedside) -> FormPage:
        del at_bed
        return replace(page, fields=filled_in(page.fields, {"set-kind": runs}))

    return chart_kind(request, key, KIND_OF_TASK[task], finish=finish)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_a_change(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a change with the plan's values, or chart it."""

    def finish(page: FormPage, at_bed: Bedside) -> FormPage:
        case = at_bed.reading.state.case
        plan = plan_change(case, at_bed.now, at_bed.line.policy)
        connectors = Field(
            CONNECTORS, "Connectors changed too?", "choice", choices=YES_NO
        )
        values = {
            "because": likely_reason(at_bed.line),
            "assistant": request.GET.get("with", ""),
        }
        if plan.dressing is not None:
            values["dressing"] = plan.dressing.kind
        if plan.antiseptic is not None:
            values["agent"] = plan.antiseptic.agent
        barred = barred_now(case, at_bed.now, at_bed.line.policy)
        fields = filled_in(with_barred(page.fields, barred), values)
        return replace(
            page,
            fields=(*fields, connectors),
            lead=LEAD if plan.verdict == "plan" else "",
            cautions=(*page.cautions, *cautions_of(plan)),
        )

    return chart_kind(request, key, "dressing-change", finish=finish)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_infection(request: HttpRequest, key: str, kind: str) -> HttpResponse:
    """Show a form of what a determination needs, or chart it."""
    asked = {name: request.GET.get(name, "") for name in ("specimen", "name")}

    def finish(page: FormPage, at_bed: Bedside) -> FormPage:
        values = asked | (USUAL if kind == "specimen" else {})
        has_none = kind == "specimen-result" and not at_bed.offers["specimens"]
        fields = filled_in(page.fields, values)
        return replace(
            page,
            fields=with_meant(fields, request.POST, at_bed.now.year),
            lead=NO_SPECIMEN if has_none else page.lead,
        )

    return chart_kind(request, key, kind, finish=finish)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def move_a_child(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a move, or chart it."""
    person = person_signed_in(request)
    came_from = []

    def finish(page: FormPage, at_bed: Bedside) -> FormPage:
        came_from.append(at_bed.line.ward.key)
        return replace(
            page, fields=filled_in(page.fields, {"ward": at_bed.line.ward.key})
        )

    def then(entry: Entry) -> str:
        ward = entry.body.get("ward")
        if ward is None or not may_see_ward(person, str(ward)):
            return reverse("ward", args=[came_from[0]])
        return f"{reverse('line', args=[key])}?charted={entry.id}"

    return chart_kind(request, key, "stay", finish=finish, then=then)


def _birth(page: FormPage, at_bed: Bedside) -> FormPage:
    child = at_bed.reading.state.case.child
    gestation = known_or_none(child.gestation_at_birth)
    values = {"gestation": str(gestation or "")}
    return replace(page, fields=filled_in(page.fields, values))


def _sensitivities(page: FormPage, at_bed: Bedside) -> FormPage:
    told = told_before(at_bed)
    ticked = {"sensitivities": words_before(told)}
    return replace(page, fields=filled_in(page.fields, answers_before(told), ticked))


_FINISH = {"birth": _birth, "sensitivities": _sensitivities}
