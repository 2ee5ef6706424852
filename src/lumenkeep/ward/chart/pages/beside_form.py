"""What is said beside a form: cautions, names asked back, what was measured last.

The form takes whatever was really done. It says what the plan says now, so that nobody
charts a barred agent unaware, and names whom to call.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.model import known_or_none
from lumenkeep.core.watch.length_words import compared_words
from lumenkeep.text.moments import day_in_words
from lumenkeep.ward.chart.charting.grown import names_of, not_understood
from lumenkeep.ward.chart.pages.fields import FieldView, pairs

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from lumenkeep.core.planning import Plan
    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.chart.charting.form_fields import FormField

AGENT, DRESSING = "agent", "dressing"
BARRED = "barred for this child now"
AS_IT_WAS = "Chart here what was really done all the same, whatever was used."


def cautions_of(plan: Plan) -> tuple[str, ...]:
    """Return what the plan says against a change; nothing where it plans one."""
    if plan.verdict == "stop":
        return (f"The plan says: {plan.sentence}", *plan.stop_because, AS_IT_WAS)
    if plan.verdict == "ask":
        return (f"The plan asks first: {plan.sentence}", AS_IT_WAS)
    return ()


def with_barred(
    fields: Iterable[FieldView], barred: Collection[str]
) -> tuple[FieldView, ...]:
    """Return the fields with each barred agent and dressing marked among its choices.

    Parameters
    ----------
    barred
        Whatever is barred for the child, as `barred_now` says: what the set never
        puts on too, for a choice without a mark reads as one that may be used.
    """
    return tuple(
        replace(field, choices=tuple(_marked(field.choices, barred)))
        if field.name in (AGENT, DRESSING)
        else field
        for field in fields
    )


def _marked(
    choices: Iterable[tuple[str, str]], barred: Collection[str]
) -> Iterable[tuple[str, str]]:
    for value, words in choices:
        yield value, f"{words} ({BARRED})" if value in barred else words


GREW = "organisms"


def with_meant(
    fields: Iterable[FieldView], sent: Mapping[str, str], year: int
) -> tuple[FieldView, ...]:
    """Return a form's fields with a question for each name sent that no list knows.

    Parameters
    ----------
    sent
        What somebody sent; empty before.
    year
        Whose lists are asked.
    """
    found: list[FieldView] = []
    for field in fields:
        found.append(field)
        if field.name == GREW:
            found += (
                FieldView(
                    one.field,
                    one.asks,
                    "choice",
                    required=True,
                    choices=pairs(one.choices),
                )
                for one in not_understood(names_of(sent.get(GREW)), year)
            )
    return tuple(found)


LENGTH, STITCHES = "external_length_mm", "stitches"


def last_measured(one: FormField, at_bed: FormContext) -> str:
    """Return the last length or count of stitches in words; empty for other fields."""
    key = one.field.key if one.field is not None else ""
    state = at_bed.reading.state
    if key == LENGTH and state.lengths:
        at, mm = state.lengths[-1]
        when = day_in_words(at, at_bed.now, at_bed.zone)
        return f"Last measured: {mm:g} mm, {when}.{_compared(at_bed)}"
    stitches = known_or_none(state.case.line.stitches)
    if key == STITCHES and stitches is not None:
        return f"Last counted: {stitches:g}."
    return ""


def _compared(at_bed: FormContext) -> str:
    """Return what lengths are compared with, as the line's page says it."""
    verdict = at_bed.reading.verdict
    if verdict.state == "cannot-judge" or verdict.baseline == verdict.latest:
        return ""
    return f" Compared with {compared_words(verdict)}."
