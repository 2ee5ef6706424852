"""The form of any kind of entry: to chart it, and to correct it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.core.entries import kind_of
from lumenkeep.core.model import known_or_none
from lumenkeep.core.model.words import YES_NO
from lumenkeep.core.planning import barred_now, plan_change
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.charting.bedside import bedside
from lumenkeep.ward.chart.charting.chart_entry import CONNECTORS, chart_entry, form_kind
from lumenkeep.ward.chart.charting.form_fields import WHEN, asked_of
from lumenkeep.ward.chart.charting.substances import (
    answers_before,
    told_before,
    words_before,
)
from lumenkeep.ward.chart.line_at_hand import likely_reason
from lumenkeep.ward.chart.pages.beside_form import (
    cautions_of,
    last_measured,
    with_barred,
    with_meant,
)
from lumenkeep.ward.chart.pages.context import page_context
from lumenkeep.ward.chart.pages.fields import FieldView, local_minute
from lumenkeep.ward.chart.pages.line_head import find_line, must_be_in
from lumenkeep.ward.chart.pages.shown_form import FormPage, answer_form
from lumenkeep.ward.chart.tasks import KIND_OF_TASK
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.rights import may_see_ward

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.entries.kind import Kind
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.chart.charting.form_fields import FormField
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.site.people import StaffRecord
    from lumenkeep.ward.site.sent import Sent

    Finish = Callable[[FormPage, FormContext], FormPage]

DRAWN = {"number": "count"}
FEW = 8
"""Up to so many choices are large enough for a gloved finger."""


def chart_kind(
    request: HttpRequest,
    key: str,
    kind_id: str,
    *,
    finish: Finish | None = None,
    then: Callable[[Entry], str] | None = None,
) -> HttpResponse:
    """Show the form of a kind for a line, or chart what was sent.

    Parameters
    ----------
    finish
        Puts into the page what only this kind's page knows.
    then
        Takes the entry written and returns where to go instead of the line's page.

    Raises
    ------
    Http404
        There is no such line, or the kind has no form.
    """
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    kind = _kind(kind_id)
    if kind.about != "child" and kind.id not in ("line-tip", "line-access"):
        must_be_in(found)
    at_bed = _at_bed(at, found, person)
    page = form_page(kind, at_bed)
    if finish is not None:
        page = finish(page, at_bed)

    def write(sent: Sent) -> Sequence[Entry]:
        return chart_entry(at, sent, line=key, kind=kind_id, at_bed=at_bed)

    return answer_form(request, at_bed.line, page, write, then)


def _kind(kind_id: str) -> Kind:
    try:
        return form_kind(kind_id)
    except ChartError as error:
        raise Http404 from error


def _at_bed(at: WardContext, found: LineAtHand, person: StaffRecord) -> FormContext:
    """Return what a form needs to know; the one who charts did not help herself."""
    staff = {
        one.key: one.name
        for one in at.staff.people(found.ward.key)
        if one.key != person.key
    }
    return bedside(at, found, staff=staff)


def form_page(kind: Kind, at_bed: FormContext) -> FormPage:
    """Return an empty form of a kind, the instant filled in."""
    form = kind.form
    assert form is not None  # noqa: S101  such a kind has no page
    return FormPage(
        title=form.title,
        button=form.button,
        fields=fields_of(kind, at_bed),
        lead=form.lead,
        holds=at_bed.holds,
    )


def fields_of(kind: Kind, at_bed: FormContext) -> tuple[FieldView, ...]:
    """Return the fields of a kind's form, in the order of the work."""
    found = []
    for one in asked_of(kind, at_bed):
        field = field_of(one)
        is_now = one.part == WHEN and one.kind == "instant" and at_bed.wrong is None
        found.append(
            replace(
                field,
                hint=field.hint or last_measured(one, at_bed),
                typed=local_minute(at_bed.now, at_bed.zone) if is_now else "",
            )
        )
    return tuple(found)


def field_of(one: FormField) -> FieldView:
    """Return a question as a form shows it, empty."""
    choices = tuple((one.choices or {}).items())
    return FieldView(
        one.name,
        one.label,
        DRAWN.get(one.kind, one.kind),
        required=one.required,
        hint=one.hint,
        choices=choices,
        low=one.low,
        high=one.high,
        big=one.required and 0 < len(choices) <= FEW,
    )


def filled_in(
    fields: Sequence[FieldView],
    typed: Mapping[str, str],
    ticked: Mapping[str, tuple[str, ...]] | None = None,
) -> tuple[FieldView, ...]:
    """Return the fields with these texts and ticks in them."""
    marks = ticked or {}
    return tuple(
        replace(
            one,
            typed=typed.get(one.name, one.typed),
            ticked=marks.get(one.name, one.ticked),
        )
        for one in fields
    )


def title_of(kind_id: str) -> str:
    """Return what stands above the form of a kind."""
    kind = kind_of(kind_id)
    return kind.form.title if kind is not None and kind.form is not None else kind_id


TASK_FORMS = {task: kind for task, kind in KIND_OF_TASK.items() if task != "dressing"}
"""Kinds whose form is found by the task's word; a change has one of its own."""
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
    if task not in TASK_FORMS:
        raise Http404
    runs = request.GET.get("runs", "")

    def finish(page: FormPage, at_bed: FormContext) -> FormPage:
        del at_bed
        return replace(page, fields=filled_in(page.fields, {"set-kind": runs}))

    return chart_kind(request, key, TASK_FORMS[task], finish=finish)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_a_change(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a change with the plan's values, or chart it."""

    def finish(page: FormPage, at_bed: FormContext) -> FormPage:
        case = at_bed.reading.state.case
        plan = plan_change(case, at_bed.now, at_bed.line.policy)
        connectors = FieldView(
            CONNECTORS,
            "Connectors changed too?",
            "choice",
            choices=tuple(YES_NO.items()),
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

    def finish(page: FormPage, at_bed: FormContext) -> FormPage:
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

    def finish(page: FormPage, at_bed: FormContext) -> FormPage:
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


def _birth(page: FormPage, at_bed: FormContext) -> FormPage:
    child = at_bed.reading.state.case.child
    gestation = known_or_none(child.gestation_at_birth)
    values = {"gestation": str(gestation or "")}
    return replace(page, fields=filled_in(page.fields, values))


def _sensitivities(page: FormPage, at_bed: FormContext) -> FormPage:
    told = told_before(at_bed)
    ticked = {"sensitivities": words_before(told)}
    return replace(page, fields=filled_in(page.fields, answers_before(told), ticked))


_FINISH = {"birth": _birth, "sensitivities": _sensitivities}
