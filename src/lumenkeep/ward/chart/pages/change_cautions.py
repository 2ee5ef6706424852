"""What is said above and beside the form of a change that the plan would not have.

The form takes whatever was really done. It says what the plan says now, so that nobody
charts a barred agent unaware, and names whom to call.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from lumenkeep.core.planning import Plan
    from lumenkeep.ward.chart.pages.fields import Field

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


def with_barred(fields: Iterable[Field], barred: Collection[str]) -> tuple[Field, ...]:
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
