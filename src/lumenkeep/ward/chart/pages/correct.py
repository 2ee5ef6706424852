"""Correct an entry by a new one that names it, or take it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.core.entries import kind_of
from lumenkeep.core.entries.said import label_of
from lumenkeep.core.planning import barred_now, plan_change
from lumenkeep.text.moments import moment_in_words
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.charting.bedside import bedside
from lumenkeep.ward.chart.charting.correct import (
    BECAUSE_WRONG,
    correct_entry,
    is_typed_anew,
    typed_of,
    withdraw_entry,
)
from lumenkeep.ward.chart.charting.form_fields import asked_of
from lumenkeep.ward.chart.line_at_hand import agents_used
from lumenkeep.ward.chart.pages.beside_form import cautions_of, with_barred, with_meant
from lumenkeep.ward.chart.pages.context import page_context
from lumenkeep.ward.chart.pages.entry_words import particulars
from lumenkeep.ward.chart.pages.fields import FieldView
from lumenkeep.ward.chart.pages.kind_form import fields_of, filled_in
from lumenkeep.ward.chart.pages.line_head import find_line
from lumenkeep.ward.chart.pages.shown_form import FormPage, answer_form
from lumenkeep.ward.site.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.site.sent import Sent

TAKE_BACK = "withdraw"


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def correct(request: HttpRequest, key: str, entry: int) -> HttpResponse:
    """Show an entry as it was charted, to be put right or taken back."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    wrong = next((e for e in at.chart.entries(key) if e.id == entry), None)
    if wrong is None:
        raise Http404
    may_type_anew = is_typed_anew(wrong)
    why = FieldView(
        BECAUSE_WRONG, "Why it is taken back", "text", hint="Only to take it back."
    )
    at_bed = _bedside(at, found, wrong)
    page = FormPage(
        title=f"Correct: {label_of(wrong.kind).lower()}",
        button="Chart the correction" if may_type_anew else "Take it back",
        second_button="Take it back" if may_type_anew else "",
        fields=(
            *with_meant(_fields(at_bed, wrong), request.POST, at_bed.now.year),
            why,
        ),
        lead=_lead(at, found, wrong, may_type_anew=may_type_anew),
        cautions=_cautions(at_bed, wrong),
        holds=at_bed.holds,
    )

    def write(sent: Sent) -> Sequence[Entry]:
        if sent.typed.get("do") == TAKE_BACK or not may_type_anew:
            return withdraw_entry(at, sent, line=key, entry=entry)
        return correct_entry(at, sent, line=key, entry=entry, at_bed=at_bed)

    return answer_form(request, found, page, write)


def _bedside(at: WardContext, found: LineAtHand, wrong: Entry) -> FormContext:
    staff = {one.key: one.name for one in at.staff.people(found.ward.key)}
    return bedside(at, found, staff=staff, wrong=wrong)


def _lead(
    at: WardContext, found: LineAtHand, wrong: Entry, *, may_type_anew: bool
) -> str:
    zone = found.ward.zone
    when = moment_in_words(wrong.happened_at, at.clock.now(), zone)
    labels = agents_used(found.policy)
    said = particulars(wrong, labels, zone)
    lead = f"Charted for {when}" + (f": {said}." if said else ".")
    if may_type_anew:
        return f"{lead} It stays on the chart, struck through, beside the correction."
    return f"{lead} Take it back here, then chart it again as it was."


def _fields(at_bed: FormContext, wrong: Entry) -> tuple[FieldView, ...]:
    kind = kind_of(wrong.kind)
    if kind is None or kind.form is None:
        return ()
    fields = fields_of(kind, at_bed)
    if kind.id == "dressing-change":
        case = at_bed.reading.state.case
        fields = with_barred(fields, barred_now(case, at_bed.now, at_bed.line.policy))
    typed, ticked = typed_of(wrong, asked_of(kind, at_bed), at_bed.zone)
    return filled_in(fields, typed, ticked)


def _cautions(at_bed: FormContext, wrong: Entry) -> tuple[str, ...]:
    if wrong.kind != "dressing-change":
        return ()
    case = at_bed.reading.state.case
    return cautions_of(plan_change(case, at_bed.now, at_bed.line.policy))
