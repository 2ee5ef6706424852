"""Look at one line on a round: one tap an item."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.charting.bedside import bedside
from lumenkeep.ward.chart.pages.context import Asker, page_context, show
from lumenkeep.ward.chart.pages.fields import FieldView, filled
from lumenkeep.ward.chart.pages.kind_form import field_of
from lumenkeep.ward.chart.pages.line_head import find_line, line_head, must_be_in
from lumenkeep.ward.chart.pages.shown_form import FormPage, answer
from lumenkeep.ward.rounds.record_look import (
    BELONGS,
    CORRECTS,
    NOTE,
    OBSERVED,
    OUTSIDE,
    UNIT,
    WORDS,
    RoundQuestion,
    item_field,
    must_say_where_from,
    questions,
    record_look,
    seen_questions,
)
from lumenkeep.ward.rounds.repository import RoundRepository
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.rights import may_see_watched

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.outcomes.rounds.look import LineLook
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.charting.form_fields import FormField
    from lumenkeep.ward.site.people import StaffRecord
    from lumenkeep.ward.site.sent import Sent

LONGEST_NUMBER = 18
"""Digits of a look's number that any database holds."""


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def look(request: HttpRequest, key: str) -> HttpResponse:
    """Show the questions of a line, or write the answers down."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    must_be_in(found)
    asked = tuple(questions(found.policy, found.record.state.case, at.clock.now()))
    staff = at.staff.people(found.ward.key)
    corrects = request.GET.get(CORRECTS, request.POST.get(CORRECTS, ""))
    before = _before(at, key, corrects)
    is_own = before is None or before.observer == person.key
    at_bed = bedside(at, found)
    seen = () if before is not None else seen_questions(at_bed)
    fields = _fields(asked, seen, person, staff, is_own=is_own)
    if before is not None and request.method != "POST":
        fields = _again(fields, at, before, person)
    page = FormPage(
        title="Look at this line",
        button="Keep this look",
        fields=fields,
        holds=at_bed.holds,
    )
    back = reverse("round", args=[found.ward.key])

    def write(sent: Sent) -> str:
        sent = replace(sent, typed={**sent.typed, CORRECTS: corrects})
        record_look(at, RoundRepository(at.clock), sent, line=key)
        return f"{back}?{urlencode({'seen': key})}"

    def shown(form: FormPage, status: int) -> HttpResponse:
        return show(
            request,
            "lumenkeep/rounds/look.html",
            {
                "form": form,
                "line": line_head(at, found, at.clock.now()),
                "corrects": corrects,
                "holds": form.holds,
                "back": back,
            },
            Asker.of(person, at.chart.wards()),
            here=found.ward.key,
            status=status,
        )

    return answer(request, page, write, shown)


def _fields(
    asked: Iterable[RoundQuestion],
    seen: Iterable[FormField],
    person: StaffRecord,
    staff: Sequence[StaffRecord],
    *,
    is_own: bool,
) -> tuple[FieldView, ...]:
    items = tuple(
        FieldView(
            item_field(one.item),
            one.asks,
            "choice",
            required=True,
            hint=_hint(one),
            choices=tuple((answer, WORDS[answer]) for answer in one.answers),
            big=True,
        )
        for one in asked
    )
    watched = FieldView(
        OBSERVED,
        "Whose work was seen",
        "pick",
        hint="Only educators see this; it is in no list and no figure.",
        choices=tuple((one.key, one.name) for one in staff if one.key != person.key),
    )
    note = FieldView(NOTE, "Anything to add", "text")
    found = tuple(field_of(one) for one in seen)
    return (*items, *found, *(_belongs(person) if is_own else ()), watched, note)


def _hint(one: RoundQuestion) -> str:
    said = "Only while somebody works on the line. " if one.watched else ""
    return (
        f"{said}Does not apply where {one.does_not_apply}."
        if (one.does_not_apply)
        else said.strip()
    )


def _belongs(person: StaffRecord) -> tuple[FieldView, ...]:
    if not must_say_where_from(person):
        return ()
    return (
        FieldView(
            BELONGS,
            "Do you belong to this unit?",
            "choice",
            required=True,
            hint="People of the unit see less amiss, so the two are kept apart.",
            choices=((UNIT, "Yes"), (OUTSIDE, "No, from outside")),
            big=True,
        ),
    )


def _before(at: WardContext, line: str, corrects: str) -> LineLook | None:
    """Return the look that is to be put right, if any."""
    if not (corrects.isascii() and corrects.isdigit()):
        return None
    look = RoundRepository(at.clock).look(int(corrects[:LONGEST_NUMBER]))
    return look if look is not None and look.line == line else None


def _again(
    fields: tuple[FieldView, ...],
    at: WardContext,
    before: LineLook,
    person: StaffRecord,
) -> tuple[FieldView, ...]:
    """Return the fields as the look that is to be put right answered them."""
    said = {item_field(item): answer for item, answer in before.answers.items()}
    said[BELONGS] = UNIT if before.from_unit else OUTSIDE
    if may_see_watched(person, before.observer):
        book, number = RoundRepository(at.clock), before.id
        said[OBSERVED] = book.observed([number]).get(number, "")
        said[NOTE] = book.notes([number]).get(number, "")
    return filled(fields, said)
