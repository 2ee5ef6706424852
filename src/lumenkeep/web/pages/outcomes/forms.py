"""A form of what is entered beside the chart: shown, sent, refused with every fault."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from uuid import uuid4

from django.contrib import messages
from django.shortcuts import redirect

from lumenkeep.errors import ChartError, Fault, StoreError
from lumenkeep.web.pages.charting import LONGEST_KEY, NOT_WRITTEN, REFUSED
from lumenkeep.web.pages.desk import show
from lumenkeep.web.pages.fields import Field, as_sent, with_faults
from lumenkeep.web.pages.shapes.words import counted

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.web.pages.outcomes.asked import Asked

Write = Callable[[Mapping[str, str], str], str]
"""Takes what was typed and the form's key; returns what to say when it is written."""


@dataclass(frozen=True, slots=True)
class EntryForm:
    """A form as its page shows it.

    ``notes`` stand above the fields, ``back`` is where it leads without saving.
    """

    title: str
    button: str
    fields: tuple[Field, ...]
    notes: tuple[str, ...]
    back: str
    faults: tuple[Fault, ...] = ()
    submission: str = ""

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the fields, to link a fault to its field."""
        return tuple(field.name for field in self.fields)

    @property
    def faults_words(self) -> str:
        """How many answers must be put right."""
        return counted(
            len(self.faults), "thing must be put right.", "things must be put right."
        )


def answer(
    request: HttpRequest, what: Asked, form: EntryForm, write: Write, then: str
) -> HttpResponse:
    """Show a form, or write what was sent and go to ``then``."""
    if request.method != "POST":
        return _shown(request, what, replace(form, submission=str(uuid4())))
    submission = request.POST.get("submission", "")[:LONGEST_KEY] or str(uuid4())
    typed = {name: text for name, text in request.POST.items() if isinstance(text, str)}
    again = replace(
        form, submission=submission, fields=as_sent(form.fields, request.POST)
    )
    try:
        said = write(typed, submission)
    except ChartError as error:
        return _shown(request, what, _faulty(again, error.faults), REFUSED)
    except StoreError as error:
        return _shown(request, what, _faulty(again, (error.fault,)), NOT_WRITTEN)
    messages.success(request, said)
    return redirect(then)


def _faulty(form: EntryForm, faults: tuple[Fault, ...]) -> EntryForm:
    return replace(form, faults=faults, fields=with_faults(form.fields, faults))


def _shown(
    request: HttpRequest, what: Asked, form: EntryForm, status: int = 200
) -> HttpResponse:
    return show(
        request,
        "lumenkeep/outcomes/form.html",
        {"form": form, "asked": what},
        person=what.person,
        wards=what.wards,
        here=what.ward.key,
        status=status,
    )
