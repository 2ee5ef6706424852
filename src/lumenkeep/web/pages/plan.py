"""The change plan of one line, now or as it was."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.due import due_tasks
from lumenkeep.core.model import NOT_GIVEN, People, Person
from lumenkeep.core.planning import plan_change
from lumenkeep.core.recovery.plan_spares import spares_at_once, spares_of_plan
from lumenkeep.errors import ChartError
from lumenkeep.files.kept_in_folder import KeptInFolder
from lumenkeep.text.moments import plain_day_and_time
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.lines_now import replay_plan
from lumenkeep.ward.chart.pages.context import Asker, page_context, show
from lumenkeep.ward.chart.pages.facts import CHARTED_BY_FORM, FACT_KINDS
from lumenkeep.ward.chart.pages.line_head import find_line, line_head, must_be_in
from lumenkeep.ward.chart.pages.plan_page import plan_page, spares_shown
from lumenkeep.ward.chart.pages.shown_form import holds_at
from lumenkeep.ward.chart.pages.standing import DRESSING, task_in_words
from lumenkeep.ward.site.data_folder import data_folder
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.pages.shapes import Option

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import tzinfo

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.due import DueTask
    from lumenkeep.core.model import Case
    from lumenkeep.core.planning import Plan
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.site.people import StaffRecord


@require_safe
@never_cache
@or_say_why
def plan(request: HttpRequest, key: str) -> HttpResponse:
    """Show the change plan; ``at`` asks for a past one, ``with`` names the assistant."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    now = at.clock.now()
    past = _instant(request.GET.get("at"))
    chosen = request.GET.get("with", "")
    people = [one for one in at.staff.people(found.ward.key) if one.key != person.key]
    note, spares, to_come = "", None, False
    if past is None:
        must_be_in(found)
        case = _case(found, person, people, chosen)
        answer: Plan = plan_change(case, now, found.policy)
        spares, to_come = spares_at_once(found.policy, case, answer, _kept())
        tasks: tuple[DueTask, ...] = due_tasks(case, now, found.policy)
    else:
        answer, tasks, note = _past(at, found, key, past)
    zone = found.ward.zone
    labels = {name: agent.label for name, agent in found.policy.agents.items()}
    dressing = next((task for task in tasks if task.task == DRESSING), None)
    context = {
        "line": line_head(at, found, answer.at),
        "spares": spares_shown(spares) if spares else None,
        "spares_href": _spares_href(key, chosen) if to_come else "",
        "page": plan_page(answer, zone, labels, _fact_href(key)),
        "due_words": _due_words(dressing, answer.at, zone),
        "planned_at": plain_day_and_time(answer.at, zone),
        "past_note": note,
        "holds": holds_at(at, found, now if past is None else past),
        "line_key": key,
        "can_be_guided": past is None and answer.verdict == "plan",
        "assistant": next((one.key for one in people if one.key == chosen), ""),
        "people": [
            Option(one.key, one.name, one.key == chosen)
            for one in people
            if past is None
        ],
    }
    return show(
        request,
        "lumenkeep/plan.html",
        context,
        Asker.of(person, at.chart.wards()),
        here=found.ward.key,
    )


@require_safe
@never_cache
@or_say_why
def plan_spares(request: HttpRequest, key: str) -> HttpResponse:
    """Show the spares of the plan, worked out if they are not kept; a part of its page."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    must_be_in(found)
    people = at.staff.people(found.ward.key)
    case = _case(found, person, people, request.GET.get("with", ""))
    answer = plan_change(case, at.clock.now(), found.policy)
    spares = spares_of_plan(found.policy, case, answer, _kept())
    context = {"spares": spares_shown(spares) if spares else None}
    return render(request, "lumenkeep/plan_spares.html", context)


def _case(
    found: LineAtHand, person: StaffRecord, people: Sequence[StaffRecord], chosen: str
) -> Case:
    """Return the child's case, with the gloves of who asks and of who assists."""
    assistant = next((one for one in people if one.key == chosen), None)
    return replace(
        found.record.state.case, people=People(_gloves(person), _gloves(assistant))
    )


def _kept() -> KeptInFolder:
    return KeptInFolder(data_folder() / "spares")


def _spares_href(key: str, chosen: str) -> str:
    """Return where the page asks for spares that are still to be worked out."""
    href = reverse("plan-spares", args=[key])
    return f"{href}?{urlencode({'with': chosen})}" if chosen else href


def _due_words(dressing: DueTask | None, at: datetime, zone: tzinfo) -> str:
    if dressing is None:
        return ""
    state = task_in_words(dressing, at, zone).state
    return f"Dressing {state[:1].lower()}{state[1:]}"


def _past(
    at: WardContext, found: LineAtHand, key: str, past: datetime
) -> tuple[Plan, tuple[DueTask, ...], str]:
    try:
        old = replay_plan(at, key, past)
    except ChartError as error:
        raise Http404 from error
    note = f"As it was on {plain_day_and_time(past, found.ward.zone)}."
    if not old.is_on_record:
        note += " The policy of that time is not on record: today’s was used."
    return old.plan, old.tasks, note


def _gloves(person: StaffRecord | None) -> Person:
    return Person((person.glove if person else None) or NOT_GIVEN)


def _fact_href(key: str) -> Callable[[str], str | None]:
    def href(fact: str) -> str | None:
        kind = FACT_KINDS.get(fact, "")
        if kind in CHARTED_BY_FORM:
            return reverse("chart-fact", args=[key, kind])
        return reverse("chart-finding", args=[key]) if kind == "finding" else None

    return href


def _instant(text: str | None) -> datetime | None:
    if not text:
        return None
    try:
        at = datetime.fromisoformat(text)
    except ValueError as error:
        raise Http404 from error
    if at.tzinfo is None:
        raise Http404
    return at.astimezone(UTC)
