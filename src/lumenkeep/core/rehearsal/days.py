"""The days to come on which something of a set's procedures changes.

A change that is written for next year is walked today: a longer drying time must not
find a procedure that still waits the shorter one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.rehearsal.procedure_files import bedside_of, days_of_numbers
from lumenkeep.core.rehearsal.rehearse import rehearse
from lumenkeep.core.rehearsal.stage import Stage
from lumenkeep.errors import Fault, NoRuleError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.rehearsal.rehearse import Rehearsal, Walked


def days_to_come(policy: Policy, day: date) -> list[date]:
    """Return ``day``, and each later day on which a number of the set changes.

    Numbers of its rules and of its procedures; a rule or a step has no day of its own.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    return [day, *(start for start in days_of_numbers(policy) if start > day)]


def stage_on(policy: Policy, day: date) -> Stage:
    """Return the stage of a set on a day, every number that its steps name in force.

    Raises
    ------
    NoRuleError
        ``policy-number-not-in-force``: a step's time, or a number of a rule, starts
        later than that day.
    PolicyError
        Holding every fault of the procedure files.
    """
    stage = Stage(policy, bedside_of(policy, day), day)
    bedside = stage.bedside
    steps = [step for one in bedside.procedures.values() for step in one.steps]
    for step in (*steps, *bedside.moves):
        number = bedside.numbers.get(step.seconds or "")
        if number is not None and number.on(day) is None:
            raise NoRuleError(
                Fault(
                    "policy-number-not-in-force",
                    f"Step {step.id} takes '{number.id}', which has no value on {day}; "
                    f"its first is from {number.values[0].start}.",
                    number.where,
                    "add the value that holds until then",
                )
            )
    return stage


def rehearse_on(
    stage: Stage, names: Sequence[str], walked: Walked
) -> Iterator[Rehearsal]:
    """Yield procedures walked on the stage's day; all of them where none is named.

    ``walked`` carries what was walked for other days.

    Raises
    ------
    PolicyError
        ``policy-no-such-procedure``: the set has none of that name.
    """
    for name in names or sorted(stage.bedside.procedures):
        yield rehearse(stage.procedure(name), stage, walked)
