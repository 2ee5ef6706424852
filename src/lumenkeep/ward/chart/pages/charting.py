"""How every form of the chart and of a ward is shown, sent and answered.

What was typed comes back beside the faults; a form sent twice is written once, by the
key it carries; after writing, the line's page says what comes next.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from urllib.parse import urlencode
from uuid import uuid4

from django.http import QueryDict
from django.shortcuts import redirect
from django.urls import reverse

from lumenkeep.core.reading.line_reading import read_line
from lumenkeep.errors import ChartError, Fault, StoreError
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.line_at_hand import RulesOfWard
from lumenkeep.ward.chart.pages.context import page_context, show
from lumenkeep.ward.chart.pages.fields import (
    FieldView,
    Refusal,
    as_sent,
    faults_in_words,
    refusals,
    with_faults,
)
from lumenkeep.ward.chart.pages.line_head import line_head
from lumenkeep.ward.site.written_once import form_key

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.chart.pages.context import PageContext

    Write = Callable[["Sent"], Sequence[Entry]]
    from lumenkeep.ward.site.people import WardRecord


def holds_at(at: PageContext, found: LineAtHand, instant: datetime) -> tuple[str, ...]:
    """Return in sentences why a line must not be used; empty where it may be.

    Parameters
    ----------
    instant
        As it was known at this instant (UTC).
    """
    entries = at.chart.entries(found.record.key)
    rules = RulesOfWard(at.policies, found.ward)
    reading = read_line(entries, instant, rules, found.ward.zone, known_at=instant)
    return tuple(hold.sentence for hold in reading.holds)


REFUSED = 422
NOT_WRITTEN = 503
LONGEST_KEY = 80
NOT_TOLD = ("csrfmiddlewaretoken", "submission")
"""Fields of a form that are not what a person says by it."""


@dataclass(frozen=True, slots=True)
class Sent:
    """A form as sent: the text of each field, and the key to write under."""

    typed: Mapping[str, str]
    submission: str
    raw: QueryDict

    def ticked(self, name: str) -> list[str]:
        """Return all values ticked under a name."""
        return self.raw.getlist(name)

    @property
    def every_ticked(self) -> Mapping[str, Sequence[str]]:
        """All values ticked, by name."""
        return {name: self.raw.getlist(name) for name in self.raw}


@dataclass(frozen=True, slots=True)
class FormPage:
    """A form as its page shows it.

    Attributes
    ----------
    lead
        A sentence above the fields.
    cautions
        What speaks against what is charted here; it is charted all the same.
    second_button
        Words of a button that takes the entry back instead.
    holds
        Why the line must not be used; None where nobody has read that yet.
    """

    title: str
    button: str
    fields: tuple[FieldView, ...]
    lead: str = ""
    cautions: tuple[str, ...] = ()
    second_button: str = ""
    faults: tuple[Fault, ...] = ()
    submission: str = ""
    holds: tuple[str, ...] | None = None

    @property
    def refusals(self) -> tuple[Refusal, ...]:
        """Every fault, with the field that it leads to."""
        return refusals(self.fields, self.faults)

    @property
    def faults_words(self) -> str:
        """How many answers must be put right, and how many are asked back."""
        return faults_in_words(self.faults)


def sent_keys(request: HttpRequest) -> tuple[str, str]:
    """Return the form's own key, to show it again, and the one to write under.

    The second holds what was sent as well: sent twice it is written once, and a form
    that meanwhile says something else is not taken for the one that was written.
    """
    own = request.POST.get("submission", "")[:LONGEST_KEY] or str(uuid4())
    told = {name: request.POST.getlist(name) for name in request.POST}
    for name in NOT_TOLD:
        told.pop(name, None)
    return own, form_key(own, request.path, told)


def answer_form(
    request: HttpRequest,
    found: LineAtHand,
    page: FormPage,
    write: Write,
    then: Callable[[Entry], str] | None = None,
) -> HttpResponse:
    """Show a form, or write what was sent and go to the line's page.

    Parameters
    ----------
    found
        The line it is about.
    page
        The form with what is filled in already.
    write
        Writes the entries of what was sent.
    then
        Takes the first of them and returns where to go instead.
    """
    if request.method != "POST":
        return _form(request, found, replace(page, submission=str(uuid4())))
    submission, key = sent_keys(request)
    typed = {name: text for name, text in request.POST.items() if isinstance(text, str)}
    again = replace(
        page, submission=submission, fields=as_sent(page.fields, request.POST)
    )
    try:
        entries = write(Sent(typed, key, request.POST))
    except ChartError as error:
        return _form(request, found, _faulty(again, error.faults), REFUSED)
    except StoreError as error:
        return _form(request, found, _faulty(again, (error.fault,)), NOT_WRITTEN)
    if then is not None:
        return redirect(then(entries[0]))
    charted = urlencode({"charted": entries[0].id})
    return redirect(f"{reverse('line', args=[found.record.key])}?{charted}")


def _faulty(page: FormPage, faults: tuple[Fault, ...]) -> FormPage:
    return replace(page, faults=faults, fields=with_faults(page.fields, faults))


def _form(
    request: HttpRequest, found: LineAtHand, page: FormPage, status: int = 200
) -> HttpResponse:
    at, person = page_context(), person_signed_in(request)
    now = at.clock.now()
    return show(
        request,
        "lumenkeep/form.html",
        {
            "form": page,
            "line": line_head(at, found, now),
            "holds": holds_at(at, found, now) if page.holds is None else page.holds,
        },
        person=person,
        wards=wards_open_to(person, at.chart.wards()),
        here=found.ward.key,
        status=status,
    )


Save = Callable[[Mapping[str, str], str], str]
"""Takes what was typed and the form's key; returns where to go when it is written."""


@dataclass(frozen=True, slots=True)
class FormWords:
    """What a form says when it is refused, of its way back, and of what stays."""

    not_yet: str
    back: str
    stays: str


CHARTED = FormWords(
    "Nothing has been charted yet.",
    "Back without charting",
    "Charted entries stay. A mistake is mended by a correction that names it.",
)
SAVED = FormWords(
    "Nothing has been saved yet.",
    "Back without saving",
    "What is saved stays. A mistake is mended by entering it again; both are kept.",
)


@dataclass(frozen=True, slots=True)
class FieldGroup:
    """Fields that belong together, under a heading where it has one."""

    title: str
    fields: tuple[FieldView, ...]
    lead: str = ""


@dataclass(frozen=True, slots=True)
class WardForm:
    """A form as its page shows it; ``back`` is where it leads without saving.

    Attributes
    ----------
    notes
        Stand above the fields.
    way
        Name of the page between the ward and this one; empty for none.
    is_entry
        Whether numbers stand side by side, as on a tally sheet.
    """

    title: str
    button: str
    groups: tuple[FieldGroup, ...]
    back: str
    lead: str = ""
    notes: tuple[str, ...] = ()
    words: FormWords = CHARTED
    way: str = ""
    is_entry: bool = False
    faults: tuple[Fault, ...] = ()
    submission: str = ""

    @property
    def refusals(self) -> tuple[Refusal, ...]:
        """Every fault, with the field that it leads to."""
        fields = (field for group in self.groups for field in group.fields)
        return refusals(fields, self.faults)

    @property
    def faults_words(self) -> str:
        """How many answers must be put right, and how many are asked back."""
        return faults_in_words(self.faults)

    def each(
        self, change: Callable[[tuple[FieldView, ...]], tuple[FieldView, ...]]
    ) -> WardForm:
        """Return the form with the fields of each group changed."""
        groups = (replace(one, fields=change(one.fields)) for one in self.groups)
        return replace(self, groups=tuple(groups))


def answer_ward_form(
    request: HttpRequest, ward: WardRecord, form: WardForm, write: Save
) -> HttpResponse:
    """Show a form, or write what was sent and go where that says."""
    if request.method != "POST":
        return _shown(request, ward, replace(form, submission=str(uuid4())))
    submission, key = sent_keys(request)
    typed = {name: text for name, text in request.POST.items() if isinstance(text, str)}
    again = replace(form, submission=submission).each(
        lambda fields: as_sent(fields, request.POST)
    )
    try:
        then = write(typed, key)
    except ChartError as error:
        return _shown(request, ward, _faulty_ward(again, error.faults), REFUSED)
    except StoreError as error:
        return _shown(request, ward, _faulty_ward(again, (error.fault,)), NOT_WRITTEN)
    return redirect(then)


def _faulty_ward(form: WardForm, faults: tuple[Fault, ...]) -> WardForm:
    marked = form.each(lambda fields: with_faults(fields, faults))
    return replace(marked, faults=faults)


def _shown(
    request: HttpRequest, ward: WardRecord, form: WardForm, status: int = 200
) -> HttpResponse:
    person = person_signed_in(request)
    return show(
        request,
        "lumenkeep/ward_form.html",
        {"form": form, "ward": ward},
        person=person,
        wards=wards_open_to(person, page_context().chart.wards()),
        here=ward.key,
        status=status,
    )
