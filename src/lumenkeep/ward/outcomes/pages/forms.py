"""Forms of what is entered beside the chart: saved, said, and back to the outcomes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from django.contrib import messages

from lumenkeep.ward.chart.pages.ward_form import (
    SAVED,
    Group,
    WardForm,
    answer_ward_form,
)

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.chart.pages.fields import Field
    from lumenkeep.ward.outcomes.pages.asked import Asked

Write = Callable[[Mapping[str, str], str], str]
"""Takes what was typed and the form's key; returns what to say when it is written."""


def entry_form(
    title: str,
    button: str,
    fields: tuple[Field, ...],
    notes: tuple[str, ...],
    back: str,
) -> WardForm:
    """Return a form of one sheet; ``notes`` stand above its fields."""
    return WardForm(
        title,
        button,
        (Group("", fields),),
        back,
        notes=notes,
        words=SAVED,
        way="Outcomes",
        is_entry=True,
    )


def answer(
    request: HttpRequest, what: Asked, form: WardForm, write: Write, then: str
) -> HttpResponse:
    """Show a form, or write what was sent, say so, and go to ``then``."""

    def written(typed: Mapping[str, str], submission: str) -> str:
        messages.success(request, write(typed, submission))
        return then

    return answer_ward_form(request, what.ward, form, written)
