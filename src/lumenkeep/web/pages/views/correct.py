"""Correct an entry by a new one that names it, or take it back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from django.http import Http404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.planning import plan_change
from lumenkeep.services.change_form import AGENT, ASSISTANT, BECAUSE, DRESSING
from lumenkeep.services.chart_facts import WEIGHT
from lumenkeep.services.chart_finding import FINDINGS_FIELD
from lumenkeep.services.chart_for_infection import specimens_in_words
from lumenkeep.services.correct_entry import (
    BECAUSE_WRONG,
    CORRECTABLE,
    correct_entry,
    withdraw_entry,
)
from lumenkeep.services.infection_questions import FORMS
from lumenkeep.services.read_change import body_key
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.pages.change_fields import change_fields
from lumenkeep.web.pages.charting import FormPage, Sent, answer_form
from lumenkeep.web.pages.desk import desk
from lumenkeep.web.pages.fields import Field, filled, local_minute
from lumenkeep.web.pages.infections.fields import infection_fields, typed_of
from lumenkeep.web.pages.line_head import find_line
from lumenkeep.web.pages.no_answer import or_say_why
from lumenkeep.web.pages.shapes.entry_words import ENTRY_WORDS, particulars
from lumenkeep.web.pages.shapes.words import moment_in_words
from lumenkeep.web.pages.views.chart_a_finding import finding_fields

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.line_at_hand import LineAtHand
    from lumenkeep.web.pages.desk import Desk

TAKE_BACK = "withdraw"


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def correct(request: HttpRequest, key: str, entry: int) -> HttpResponse:
    """Show an entry as it was charted, to be put right or taken back."""
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    wrong = next((e for e in at.chart.entries(key) if e.id == entry), None)
    if wrong is None:
        raise Http404
    may_type_anew = wrong.kind in CORRECTABLE
    why = Field(
        BECAUSE_WRONG, "Why it is taken back", "text", hint="Only to take it back."
    )
    page = FormPage(
        title=f"Correct: {ENTRY_WORDS[wrong.kind].lower()}",
        button="Chart the correction" if may_type_anew else "Take it back",
        second_button="Take it back" if may_type_anew else "",
        fields=(*_fields(at, found, wrong), why),
        lead=_lead(at, found, wrong, may_type_anew=may_type_anew),
    )

    def write(sent: Sent) -> Sequence[Entry]:
        if sent.typed.get("do") == TAKE_BACK or not may_type_anew:
            return withdraw_entry(
                at.chart,
                at.policies,
                line=key,
                entry=entry,
                typed=sent.typed,
                by=person,
                submission=sent.submission,
            )
        return correct_entry(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            entry=entry,
            typed=sent.typed,
            chosen=sent.ticked(FINDINGS_FIELD),
            by=person,
            submission=sent.submission,
        )

    return answer_form(request, found, page, write)


def _lead(at: Desk, found: LineAtHand, wrong: Entry, *, may_type_anew: bool) -> str:
    zone = found.ward.zone
    when = moment_in_words(wrong.happened_at, at.clock.now(), zone)
    labels = {key: agent.label for key, agent in found.policy.agents.items()}
    said = particulars(wrong, labels, zone)
    lead = f"Charted for {when}" + (f": {said}." if said else ".")
    if may_type_anew:
        return f"{lead} It stays on the chart, struck through, beside the correction."
    return f"{lead} Take it back here, then chart it again as it was."


def _fields(at: Desk, found: LineAtHand, wrong: Entry) -> tuple[Field, ...]:
    zone, body = found.ward.zone, wrong.body
    if wrong.kind == "weight":
        return (Field(WEIGHT, "Weight", "mass", required=True, typed=f"{body['g']:g}"),)
    if wrong.kind == "finding":
        found_now, when, note = finding_fields(wrong.happened_at, zone)
        ticked = tuple(body.get("findings", ()))
        return (
            replace(found_now, ticked=ticked),
            when,
            replace(note, typed=body.get("note", "")),
        )
    if wrong.kind in FORMS:
        specimens = specimens_in_words(at.chart.entries(found.record.key), zone)
        values = typed_of(body)
        return infection_fields(wrong.kind, wrong.happened_at, zone, specimens, values)
    if wrong.kind != "dressing-change":
        return ()
    now = at.clock.now()
    items = plan_change(found.record.state.case, now, found.policy).chart
    values = {
        name: str(body.get(name) or "")
        for name in (AGENT, DRESSING, BECAUSE, ASSISTANT)
    }
    for item in items:
        if item.kind == "instant":
            values[item.id] = local_minute(wrong.happened_at, zone)
        else:
            values[item.id] = _typed(body.get(body_key(item)))
    fields = change_fields(
        found, items, at.staff.people(found.ward.key), now, with_connectors=False
    )
    return filled(fields, values)


def _typed(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, int | float) else str(value)
