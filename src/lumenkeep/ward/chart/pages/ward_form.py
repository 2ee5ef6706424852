"""A form about a ward: shown, sent, refused with every fault, kept once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from uuid import uuid4

from django.shortcuts import redirect

from lumenkeep.errors import ChartError, Fault, StoreError
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.charting import NOT_WRITTEN, REFUSED, sent_keys
from lumenkeep.ward.chart.pages.desk import desk, show
from lumenkeep.ward.chart.pages.fields import (
    Field,
    Refusal,
    as_sent,
    faults_in_words,
    refusals,
    with_faults,
)

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.site.people import WardRecord

Write = Callable[[Mapping[str, str], str], str]
"""Takes what was typed and the form's key; returns where to go when it is written."""


@dataclass(frozen=True, slots=True)
class Words:
    """What a form says when it is refused, of its way back, and of what stays."""

    not_yet: str
    back: str
    stays: str


CHARTED = Words(
    "Nothing has been charted yet.",
    "Back without charting",
    "Charted entries stay. A mistake is mended by a correction that names it.",
)
SAVED = Words(
    "Nothing has been saved yet.",
    "Back without saving",
    "What is saved stays. A mistake is mended by entering it again; both are kept.",
)


@dataclass(frozen=True, slots=True)
class Group:
    """Fields that belong together, under a heading where it has one."""

    title: str
    fields: tuple[Field, ...]
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
    groups: tuple[Group, ...]
    back: str
    lead: str = ""
    notes: tuple[str, ...] = ()
    words: Words = CHARTED
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
        self, change: Callable[[tuple[Field, ...]], tuple[Field, ...]]
    ) -> WardForm:
        """Return the form with the fields of each group changed."""
        groups = (replace(one, fields=change(one.fields)) for one in self.groups)
        return replace(self, groups=tuple(groups))


def answer_ward_form(
    request: HttpRequest, ward: WardRecord, form: WardForm, write: Write
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
        return _shown(request, ward, _faulty(again, error.faults), REFUSED)
    except StoreError as error:
        return _shown(request, ward, _faulty(again, (error.fault,)), NOT_WRITTEN)
    return redirect(then)


def _faulty(form: WardForm, faults: tuple[Fault, ...]) -> WardForm:
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
        wards=wards_open_to(person, desk().chart.wards()),
        here=ward.key,
        status=status,
    )
