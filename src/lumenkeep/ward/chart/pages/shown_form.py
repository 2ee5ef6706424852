"""How every form of the chart and of a ward is shown, sent and answered.

What was typed comes back beside the faults; a form sent twice is written once, by the
key it carries; after writing, the line's page says what comes next.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Self, TypeVar
from urllib.parse import urlencode
from uuid import uuid4

from django.shortcuts import redirect
from django.urls import reverse

from lumenkeep.core.reading.line_reading import read_line
from lumenkeep.errors import ChartError, Fault, StoreError
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.line_at_hand import RulesOfWard
from lumenkeep.ward.chart.pages.context import Asker, page_context, show
from lumenkeep.ward.chart.pages.fields import (
    FieldView,
    Refusal,
    as_sent,
    faults_in_words,
    refusals,
    with_faults,
)
from lumenkeep.ward.chart.pages.line_head import line_head
from lumenkeep.ward.site.sent import Sent
from lumenkeep.ward.site.written_once import form_key

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.site.people import WardRecord


def holds_at(at: WardContext, found: LineAtHand, instant: datetime) -> tuple[str, ...]:
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


SHOWN, REFUSED, NOT_WRITTEN = 200, 422, 503
LONGEST_KEY = 80
NOT_TOLD = ("csrfmiddlewaretoken", "submission")
"""Fields of a form that are not what a person says by it."""
Fields = tuple[FieldView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownForm(ABC):
    """A form as it is shown: its key, and what is wrong with its fields."""

    faults: tuple[Fault, ...] = ()
    submission: str = ""

    @abstractmethod
    def every_field(self) -> Fields:
        """Return all fields, in the order shown."""

    @abstractmethod
    def each(self, change: Callable[[Fields], Fields]) -> Self:
        """Return the form with its fields changed."""

    @property
    def refusals(self) -> tuple[Refusal, ...]:
        """Every fault, with the field that it leads to."""
        return refusals(self.every_field(), self.faults)

    @property
    def faults_words(self) -> str:
        """How many answers must be put right, and how many are asked back."""
        return faults_in_words(self.faults)


AnyForm = TypeVar("AnyForm", bound=ShownForm)


@dataclass(frozen=True, slots=True, kw_only=True)
class OneSheet(ShownForm):
    """A form whose fields stand on one sheet."""

    fields: Fields

    def every_field(self) -> Fields:
        """Return all fields, in the order shown."""
        return self.fields

    def each(self, change: Callable[[Fields], Fields]) -> Self:
        """Return the form with its fields changed."""
        return replace(self, fields=change(self.fields))


def sent_by(request: HttpRequest) -> Sent:
    """Return what was sent, by whom, and under which key it is to be written.

    The key holds what was sent as well: sent twice it is written once, and a form
    that meanwhile says something else is not taken for the one that was written.
    """
    typed = {name: text for name, text in request.POST.items() if isinstance(text, str)}
    ticked = {name: request.POST.getlist(name) for name in request.POST}
    told = {name: values for name, values in ticked.items() if name not in NOT_TOLD}
    key = form_key(_own_key(request), request.path, told)
    return Sent(typed, person_signed_in(request), key, ticked)


def _own_key(request: HttpRequest) -> str:
    return request.POST.get("submission", "")[:LONGEST_KEY] or str(uuid4())


def answer(
    request: HttpRequest,
    form: AnyForm,
    write: Callable[[Sent], str],
    show_form: Callable[[AnyForm, int], HttpResponse],
) -> HttpResponse:
    """Show a form, or write what was sent and go on from there.

    Parameters
    ----------
    form
        The form with what is filled in already.
    write
        Writes what was sent; returns where to go.
    show_form
        Returns the page of the form, with this status.
    """
    if request.method != "POST":
        return show_form(replace(form, submission=str(uuid4())), SHOWN)
    try:
        return redirect(write(sent_by(request)))
    except ChartError as error:
        faults, status = error.faults, REFUSED
    except StoreError as error:
        faults, status = (error.fault,), NOT_WRITTEN
    again = form.each(lambda fields: with_faults(as_sent(fields, request.POST), faults))
    own = _own_key(request)
    return show_form(replace(again, submission=own, faults=faults), status)


@dataclass(frozen=True, slots=True)
class FormPage(OneSheet):
    """A form about a line, as its page shows it.

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
    lead: str = ""
    cautions: tuple[str, ...] = ()
    second_button: str = ""
    holds: tuple[str, ...] | None = None


def charted_href(entry: Entry, line: str | None = None) -> str:
    """Return the page of a line that says what was charted and what comes next."""
    charted = urlencode({"charted": entry.id})
    return f"{reverse('line', args=[line or entry.line])}?{charted}"


def answer_form(
    request: HttpRequest,
    found: LineAtHand,
    page: FormPage,
    write: Callable[[Sent], Sequence[Entry]],
    then: Callable[[Entry], str] | None = None,
) -> HttpResponse:
    """Show a form, or write what was sent and go to the line's page.

    Parameters
    ----------
    found
        The line it is about.
    write
        Writes the entries of what was sent.
    then
        Takes the first of them and returns where to go instead.
    """

    def written(sent: Sent) -> str:
        first = write(sent)[0]
        return then(first) if then else charted_href(first, found.record.key)

    def shown(form: FormPage, status: int) -> HttpResponse:
        at, person = page_context(), person_signed_in(request)
        now = at.clock.now()
        holds = holds_at(at, found, now) if form.holds is None else form.holds
        return show(
            request,
            "lumenkeep/form.html",
            {"form": form, "line": line_head(at, found, now), "holds": holds},
            Asker.of(person, at.chart.wards()),
            here=found.ward.key,
            status=status,
        )

    return answer(request, page, written, shown)


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
    fields: Fields
    lead: str = ""


@dataclass(frozen=True, slots=True)
class WardForm(ShownForm):
    """A form about a ward, in groups; ``back`` is where it leads without saving.

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

    def each(self, change: Callable[[Fields], Fields]) -> Self:
        """Return the form with the fields of each group changed."""
        groups = (replace(one, fields=change(one.fields)) for one in self.groups)
        return replace(self, groups=tuple(groups))

    def every_field(self) -> Fields:
        """Return the fields of all groups, in the order shown."""
        return tuple(field for group in self.groups for field in group.fields)


def answer_ward_form(
    request: HttpRequest, ward: WardRecord, form: WardForm, write: Callable[[Sent], str]
) -> HttpResponse:
    """Show a form, or write what was sent and go where that says."""

    def shown(form: WardForm, status: int) -> HttpResponse:
        person = person_signed_in(request)
        return show(
            request,
            "lumenkeep/ward_form.html",
            {"form": form, "ward": ward},
            Asker.of(person, page_context().chart.wards()),
            here=ward.key,
            status=status,
        )

    return answer(request, form, write, shown)
