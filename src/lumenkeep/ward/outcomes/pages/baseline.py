"""Enter a baseline with its source, and the hour at which a ward counts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import PermissionDenied
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.ward.chart.pages.fields import Field, pairs
from lumenkeep.ward.outcomes.count_days import hour_on
from lumenkeep.ward.outcomes.enter_baseline import (
    FIRST,
    HOUR,
    KIND,
    LAST,
    PREDICTED,
    ROWS,
    SOURCE,
    STARTS_ON,
    UNIT,
    enter_baseline,
    may_set,
    row_fields,
    set_count_hour,
    strata_choices,
)
from lumenkeep.ward.outcomes.pages.asked import Asked, asked
from lumenkeep.ward.outcomes.pages.forms import answer, entry_form
from lumenkeep.ward.outcomes.pages.shape import hour_words
from lumenkeep.ward.outcomes.records import BASELINE_KINDS, UNIT_KINDS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.http import HttpRequest, HttpResponse

STRATUM_WORDS = {
    "all": "The whole ward",
    "temporary": "Temporary lines",
    "permanent": "Permanent lines",
}


def _asked(request: HttpRequest, key: str) -> Asked:
    what = asked(request, key)
    if not may_set(what.person):
        raise PermissionDenied
    return what


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def enter_a_baseline(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a baseline, or write it."""
    what = _asked(request, key)
    then = f"{reverse('outcomes', args=[key])}?{what.query()}"
    form = entry_form(
        f"A baseline for {what.ward.name}",
        "Save the baseline",
        _baseline_fields(what),
        (
            (
                "A ratio compares what was observed with what somebody predicted. Lumenkeep "
                "predicts nothing of its own: enter a predicted number for these days, or "
                "reference rates that are applied to the ward’s own days; and where they "
                "come from."
            ),
        ),
        then,
    )

    def write(typed: Mapping[str, str], submission: str) -> str:
        enter_baseline(
            what.sources.book, what.ward, what.now, typed=typed, person=what.person,
            submission=submission,
        )  # fmt: skip
        return "Saved. The ratios that it fits show it with its source."

    return answer(request, what, form, write, then)


def _baseline_fields(what: Asked) -> tuple[Field, ...]:
    fields = [
        Field(KIND, "What is predicted", "choice", required=True,
              choices=pairs(BASELINE_KINDS), typed="infections"),
        Field(FIRST, "First day", "day", required=True, typed=what.first.isoformat()),
        Field(LAST, "Last day", "day", required=True, typed=what.last.isoformat(),
              hint="A predicted number is used for exactly these days; reference rates "
              "for any days inside them."),
        Field(SOURCE, "Source", "line", required=True,
              hint="Document, table and year, or the file it was taken from."),
        Field(PREDICTED, "Predicted number", "line",
              hint="Or leave it empty and give reference rates below."),
    ]  # fmt: skip
    names = strata_choices("infections", what.last)
    choices = tuple(
        (name, STRATUM_WORDS.get(name, f"Born at {name}")) for name in names
    )
    for number in range(ROWS):
        stratum, events, days = row_fields(number)
        fields += [
            Field(stratum, f"Reference rate {number + 1}: of whom", "pick",
                  choices=choices),
            Field(events, f"Reference rate {number + 1}: events", "line",
                  hint="Infections, or line-days, in the reference."),
            Field(days, f"Reference rate {number + 1}: days", "line",
                  hint="Line-days; for use of lines, child-days."),
        ]  # fmt: skip
    return tuple(fields)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def count_hour(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of the hour of the count, or write it."""
    what = _asked(request, key)
    book = what.sources.book
    held = hour_on(book.hours([key]), key, what.today)
    then = reverse("outcomes", args=[key])
    fields = (
        Field(HOUR, "Hour of the count", "time", required=True,
              typed=f"{held.hour:%H:%M}" if held else "",
              hint="The same every day, on the ward’s clock."),
        Field(STARTS_ON, "From", "day", required=True, typed=what.today.isoformat(),
              hint="A day that has passed counts the past anew."),
        Field(UNIT, "Kind of unit", "choice", required=True, choices=pairs(UNIT_KINDS),
              typed=held.unit if held else ""),
        Field(SOURCE, "Source", "line", required=True,
              hint="Who decided it, or where it is written."),
    )  # fmt: skip
    form = entry_form(
        f"When {what.ward.name} counts", "Save", fields, (hour_words(held),), then
    )

    def write(typed: Mapping[str, str], submission: str) -> str:
        del submission
        made = set_count_hour(book, what.ward, typed=typed, person=what.person)
        return f"{what.ward.name} counts at {made.hour:%H:%M}."

    return answer(request, what, form, write, then)
