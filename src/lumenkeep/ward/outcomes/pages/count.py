"""Enter today's count of a ward, on a phone along the beds; or another day's."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.ward.chart.pages.fields import Field
from lumenkeep.ward.outcomes.count_days import hour_on, protocol_for
from lumenkeep.ward.outcomes.enter_count import (
    CHILDREN,
    NOTE,
    ON,
    PERMANENT,
    TEMPORARY,
    WITH_LINE,
    enter_count,
    stratum_fields,
)
from lumenkeep.ward.outcomes.manual import standing_counts
from lumenkeep.ward.outcomes.pages.asked import Asked, asked
from lumenkeep.ward.outcomes.pages.forms import answer, entry_form
from lumenkeep.ward.outcomes.pages.shape import day_words, hour_words
from lumenkeep.ward.outcomes.ratio import stratum_names

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.outcomes.records import ManualCount


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
            f"{day_words(on)} has a count already: what you enter corrects it, and "
            "both are kept."
        )
    form = entry_form(
        f"Count {what.ward.name}",
        "Save the count",
        _fields(on, before, is_newborn=is_newborn),
        tuple(notes),
        back,
    )

    def write(typed: Mapping[str, str], submission: str) -> str:
        made = enter_count(
            book, what.ward, what.now, typed=typed, person=what.person,
            submission=submission,
        )  # fmt: skip
        return (
            f"Saved for {day_words(made.on)}: {made.children} children, "
            f"{made.with_line} with a line."
        )

    return answer(request, what, form, write, back)


def _on(request: HttpRequest, what: Asked) -> date:
    try:
        return min(date.fromisoformat(request.GET.get("on", "")), what.today)
    except ValueError:
        return what.today


def _fields(
    on: date, before: ManualCount | None, *, is_newborn: bool
) -> tuple[Field, ...]:
    def was(value: int | None) -> str:
        return "" if value is None else str(value)

    held = before
    fields = [
        Field(ON, "Day", "day", required=True, typed=on.isoformat()),
        Field(
            CHILDREN, "Children here", "count", required=True,
            hint="Everybody in a bed of this ward at the hour of the count.",
            typed=was(held.children if held else None),
        ),
        Field(
            WITH_LINE, "With a central line", "count", required=True,
            hint="A child with several lines counts once; used or not.",
            typed=was(held.with_line if held else None),
        ),
        Field(
            TEMPORARY, "Of these with a temporary line", "count",
            hint="A child with both kinds counts here.",
            typed=was(held.temporary if held else None),
        ),
        Field(
            PERMANENT, "With permanent lines only", "count",
            hint="Tunnelled lines and ports.",
            typed=was(held.permanent if held else None),
        ),
    ]  # fmt: skip
    if is_newborn:
        fields += _groups(on, held)
    fields.append(Field(NOTE, "Note", "text", typed=held.note if held else ""))
    return tuple(fields)


def _groups(on: date, held: ManualCount | None) -> list[Field]:
    found = []
    for number, name in enumerate(stratum_names(protocol_for(on).protocol)):
        infants, lines = stratum_fields(number)
        pair = held.strata.get(name) if held else None
        found += [
            Field(
                infants, f"Born at {name}", "count",
                typed=str(pair[0]) if pair else "",
            ),
            Field(
                lines, "Of these with a line", "count",
                typed=str(pair[1]) if pair else "",
            ),
        ]  # fmt: skip
    return found
