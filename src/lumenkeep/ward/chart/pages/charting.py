"""How every form of the chart is shown, sent and answered.

What was typed comes back beside the faults; a form sent twice is written once, by the
key it carries; after writing, the line's page says what comes next.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from urllib.parse import urlencode
from uuid import uuid4

from django.http import QueryDict
from django.shortcuts import redirect
from django.urls import reverse

from lumenkeep.errors import ChartError, Fault, StoreError
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.charting.form_key import form_key
from lumenkeep.ward.chart.pages.desk import desk, show
from lumenkeep.ward.chart.pages.fields import (
    Field,
    Refusal,
    as_sent,
    faults_in_words,
    refusals,
    with_faults,
)
from lumenkeep.ward.chart.pages.held import holds_at
from lumenkeep.ward.chart.pages.line_head import line_head

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.line_at_hand import LineAtHand

    Write = Callable[["Sent"], Sequence[Entry]]

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
    fields: tuple[Field, ...]
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
    at, person = desk(), person_signed_in(request)
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
