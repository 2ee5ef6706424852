"""The form of any kind of entry: to chart it, and to correct it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from django.http import Http404

from lumenkeep.core.entries import kind_of
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.charting.asked import WHEN, asked_of
from lumenkeep.ward.chart.charting.bedside import bedside
from lumenkeep.ward.chart.charting.chart_entry import chart_entry, form_kind
from lumenkeep.ward.chart.pages.charting import FormPage, Sent, answer_form
from lumenkeep.ward.chart.pages.desk import desk
from lumenkeep.ward.chart.pages.fields import Field, local_minute
from lumenkeep.ward.chart.pages.last_measured import last_measured
from lumenkeep.ward.chart.pages.line_head import find_line, must_be_in

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.entries.kind import Kind
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.charting.asked import Asked
    from lumenkeep.ward.chart.charting.bedside import Bedside
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.chart.pages.desk import Desk
    from lumenkeep.ward.site.people import StaffRecord

    Finish = Callable[[FormPage, Bedside], FormPage]

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
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    kind = _kind(kind_id)
    if kind.about != "child" and kind.id not in ("line-tip", "line-access"):
        must_be_in(found)
    at_bed = _at_bed(at, found, person)
    page = form_page(kind, at_bed)
    if finish is not None:
        page = finish(page, at_bed)

    def write(sent: Sent) -> Sequence[Entry]:
        return chart_entry(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            kind=kind_id,
            typed=sent.typed,
            ticked=sent.every_ticked,
            by=person.key,
            submission=sent.submission,
            at_bed=at_bed,
        )

    return answer_form(request, at_bed.line, page, write, then)


def _kind(kind_id: str) -> Kind:
    try:
        return form_kind(kind_id)
    except ChartError as error:
        raise Http404 from error


def _at_bed(at: Desk, found: LineAtHand, person: StaffRecord) -> Bedside:
    """Return what a form needs to know; the one who charts did not help herself."""
    staff = {
        one.key: one.name
        for one in at.staff.people(found.ward.key)
        if one.key != person.key
    }
    return bedside(at.chart, at.policies, found, at.clock.now(), staff=staff)


def form_page(kind: Kind, at_bed: Bedside) -> FormPage:
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


def fields_of(kind: Kind, at_bed: Bedside) -> tuple[Field, ...]:
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


def field_of(one: Asked) -> Field:
    """Return a question as a form shows it, empty."""
    choices = tuple((one.choices or {}).items())
    return Field(
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
    fields: Sequence[Field],
    typed: Mapping[str, str],
    ticked: Mapping[str, tuple[str, ...]] | None = None,
) -> tuple[Field, ...]:
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
