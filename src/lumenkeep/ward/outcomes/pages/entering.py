"""Enter a ward's count, a baseline with its source, and the hour of the count."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.text.moments import plain_day
from lumenkeep.ward.chart.pages.fields import FieldView, pairs
from lumenkeep.ward.chart.pages.shown_form import (
    SAVED,
    FieldGroup,
    WardForm,
    answer_ward_form,
)
from lumenkeep.ward.outcomes.count_days import hour_on, protocol_for
from lumenkeep.ward.outcomes.entering import (
    CHILDREN,
    FIRST,
    HOUR,
    KIND,
    LAST,
    NOTE,
    ON,
    PREDICTED,
    ROWS,
    SOURCE,
    STARTS_ON,
    UNIT,
    WITH_LINE,
    enter_baseline,
    enter_count,
    row_fields,
    set_count_hour,
    strata_choices,
    stratum_fields,
)
from lumenkeep.ward.outcomes.manual import standing_counts
from lumenkeep.ward.outcomes.pages.page import OutcomesRequest, asked
from lumenkeep.ward.outcomes.pages.shape import hour_words
from lumenkeep.ward.outcomes.ratio import PERMANENT, TEMPORARY, stratum_names
from lumenkeep.ward.outcomes.records import BASELINE_KINDS, UNIT_KINDS
from lumenkeep.ward.site.rights import Right, may

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.outcomes.pages.page import OutcomesRequest
    from lumenkeep.ward.outcomes.records import ManualCount
    from lumenkeep.ward.site.sent import Sent

Write = Callable[["Sent"], str]
"""Takes what was sent; returns what to say when it is written."""


def entry_form(
    title: str,
    button: str,
    fields: tuple[FieldView, ...],
    notes: tuple[str, ...],
    back: str,
) -> WardForm:
    """Return a form of one sheet; ``notes`` stand above its fields."""
    return WardForm(
        title,
        button,
        (FieldGroup("", fields),),
        back,
        notes=notes,
        words=SAVED,
        way="Outcomes",
        is_entry=True,
    )


def answer(
    request: HttpRequest, what: OutcomesRequest, form: WardForm, write: Write, then: str
) -> HttpResponse:
    """Show a form, or write what was sent, say so, and go to ``then``."""

    def written(sent: Sent) -> str:
        messages.success(request, write(sent))
        return then

    return answer_ward_form(request, what.ward, form, written)


STRATUM_WORDS = {
    "all": "The whole ward",
    "temporary": "Temporary lines",
    "permanent": "Permanent lines",
}


def _asked(request: HttpRequest, key: str) -> OutcomesRequest:
    what = asked(request, key)
    if not may(what.person, Right.SET_BASELINES):
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

    def write(sent: Sent) -> str:
        enter_baseline(what.sources.book, what.ward, what.now, sent)
        return "Saved. The ratios that it fits show it with its source."

    return answer(request, what, form, write, then)


def _baseline_fields(what: OutcomesRequest) -> tuple[FieldView, ...]:
    fields = [
        FieldView(KIND, "What is predicted", "choice", required=True,
              choices=pairs(BASELINE_KINDS), typed="infections"),
        FieldView(FIRST, "First day", "day", required=True, typed=what.first.isoformat()),
        FieldView(LAST, "Last day", "day", required=True, typed=what.last.isoformat(),
              hint="A predicted number is used for exactly these days; reference rates "
              "for any days inside them."),
        FieldView(SOURCE, "Source", "line", required=True,
              hint="Document, table and year, or the file it was taken from."),
        FieldView(PREDICTED, "Predicted number", "line",
              hint="Or leave it empty and give reference rates below."),
    ]  # fmt: skip
    names = strata_choices("infections", what.last)
    choices = tuple(
        (name, STRATUM_WORDS.get(name, f"Born at {name}")) for name in names
    )
    for number in range(ROWS):
        stratum, events, days = row_fields(number)
        fields += [
            FieldView(stratum, f"Reference rate {number + 1}: of whom", "pick",
                  choices=choices),
            FieldView(events, f"Reference rate {number + 1}: events", "line",
                  hint="Infections, or line-days, in the reference."),
            FieldView(days, f"Reference rate {number + 1}: days", "line",
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
        FieldView(HOUR, "Hour of the count", "time", required=True,
              typed=f"{held.hour:%H:%M}" if held else "",
              hint="The same every day, on the ward’s clock."),
        FieldView(STARTS_ON, "From", "day", required=True, typed=what.today.isoformat(),
              hint="A day that has passed counts the past anew."),
        FieldView(UNIT, "Kind of unit", "choice", required=True, choices=pairs(UNIT_KINDS),
              typed=held.unit if held else ""),
        FieldView(SOURCE, "Source", "line", required=True,
              hint="Who decided it, or where it is written."),
    )  # fmt: skip
    form = entry_form(
        f"When {what.ward.name} counts", "Save", fields, (hour_words(held),), then
    )

    def write(sent: Sent) -> str:
        made = set_count_hour(book, what.ward, sent)
        return f"{what.ward.name} counts at {made.hour:%H:%M}."

    return answer(request, what, form, write, then)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def enter_a_count(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a day's count, or write it."""
    what = asked(request, key)
    on = _on(request, what)
    book = what.sources.book
    before = standing_counts(book.counts([key], on, on)).get(on)
    hour = hour_on(book.hours([key]), key, on)
    is_newborn = hour is not None and hour.unit == "newborn"
    back = reverse("outcomes", args=[key])
    notes = [hour_words(hour)]
    if is_newborn:
        notes.append("Groups go by birthweight, never by what a baby weighs now.")
    if before is not None:
        notes.append(
            f"{plain_day(on)} has a count already: what you enter corrects it, and "
            "both are kept."
        )
    form = entry_form(
        f"Count {what.ward.name}",
        "Save the count",
        _fields(on, before, is_newborn=is_newborn),
        tuple(notes),
        back,
    )

    def write(sent: Sent) -> str:
        made = enter_count(book, what.ward, what.now, sent)
        return (
            f"Saved for {plain_day(made.on)}: {made.children} children, "
            f"{made.with_line} with a line."
        )

    return answer(request, what, form, write, back)


def _on(request: HttpRequest, what: OutcomesRequest) -> date:
    try:
        return min(date.fromisoformat(request.GET.get("on", "")), what.today)
    except ValueError:
        return what.today


def _fields(
    on: date, before: ManualCount | None, *, is_newborn: bool
) -> tuple[FieldView, ...]:
    def was(value: int | None) -> str:
        return "" if value is None else str(value)

    held = before
    fields = [
        FieldView(ON, "Day", "day", required=True, typed=on.isoformat()),
        FieldView(
            CHILDREN, "Children here", "count", required=True,
            hint="Everybody in a bed of this ward at the hour of the count.",
            typed=was(held.children if held else None),
        ),
        FieldView(
            WITH_LINE, "With a central line", "count", required=True,
            hint="A child with several lines counts once; used or not.",
            typed=was(held.with_line if held else None),
        ),
        FieldView(
            TEMPORARY, "Of these with a temporary line", "count",
            hint="A child with both kinds counts here.",
            typed=was(held.temporary if held else None),
        ),
        FieldView(
            PERMANENT, "With permanent lines only", "count",
            hint="Tunnelled lines and ports.",
            typed=was(held.permanent if held else None),
        ),
    ]  # fmt: skip
    if is_newborn:
        fields += _groups(on, held)
    fields.append(FieldView(NOTE, "Note", "text", typed=held.note if held else ""))
    return tuple(fields)


def _groups(on: date, held: ManualCount | None) -> list[FieldView]:
    found = []
    for number, name in enumerate(stratum_names(protocol_for(on).protocol)):
        infants, lines = stratum_fields(number)
        pair = held.strata.get(name) if held else None
        found += [
            FieldView(
                infants, f"Born at {name}", "count",
                typed=str(pair[0]) if pair else "",
            ),
            FieldView(
                lines, "Of these with a line", "count",
                typed=str(pair[1]) if pair else "",
            ),
        ]  # fmt: skip
    return found
