"""The procedures of a set as one property of its proof."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from time import perf_counter
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.heads import END, IN_HEAD, START
from lumenkeep.core.policy.core import CORE
from lumenkeep.core.policy.cross_check import floor_faults
from lumenkeep.core.policy.sane_check import insane, insane_steps
from lumenkeep.core.policy.solver import Breach, Part
from lumenkeep.core.rehearsal.procedure_files import bedside_of, not_kept
from lumenkeep.core.rehearsal.rehearse import days_to_come, rehearse_on, stage_on
from lumenkeep.core.rehearsal.words import done_where, step_of
from lumenkeep.errors import NoRuleError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date

    from lumenkeep.core.asepsis.check import Break
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.rehearsal.rehearse import Rehearsal, Walked

NAME = "aseptic"
PLACES = {START: "at the start", END: "at the end", IN_HEAD: "in its head"}
"""Where a break shows that is no step's."""


@dataclass
class _Count:
    """How many steps were held to the rules, over all settings and days."""

    claims: int = 0


def procedure_part(policy: Policy, day: date) -> Part:
    """Return whether every branch of every procedure of a set keeps the rules.

    In every setting, on the day and on every day to come on which a number changes. And
    whether the set keeps, or names, what is published of procedures.

    Parameters
    ----------
    policy
        The set.
    day
        First day whose numbers count.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    start, count = perf_counter(), _Count()
    walked: Walked = {}
    breaches: dict[tuple[str, ...], Breach] = {
        (breach.says,): breach
        for breach in (*_not_kept(policy, day), *_numbers(policy, day))
    }
    count.claims += len(policy.floors) + len(policy.sane)
    for one in days_to_come(policy, day):
        since = one if one > day else None
        for key, breach in _broken_on(policy, one, walked, count):
            if key not in breaches:
                breaches[key] = replace(breach(), since=since)
    return Part(NAME, count.claims, perf_counter() - start, tuple(breaches.values()))


def _not_kept(policy: Policy, day: date) -> Iterator[Breach]:
    for one in not_kept(policy, day):
        places = tuple((one.id, place) for place in one.places)
        yield Breach(one.says, places, one.mend, None)


def _numbers(policy: Policy, day: date) -> Iterator[Breach]:
    """Yield where a number of the procedures' own lies below a floor, or is not sane.

    A number that the set's rules name is held when the set is read and proved; the
    time of a step is held here, whatever number it names.
    """
    bedside = bedside_of(policy, day)
    numbers = bedside.numbers
    own = {id_: one for id_, one in numbers.items() if id_ not in policy.numbers}
    named = [floor for floor in policy.floors if floor.number in own]
    for fault in floor_faults(named, numbers):
        yield Breach(fault.what, ((policy.id, fault.where),), fault.mend, None)
    steps = [step for one in bedside.procedures.values() for step in one.steps]
    for found in (
        *insane(policy, day, own),
        *insane_steps(policy, day, (*steps, *bedside.moves), numbers),
    ):
        places = (
            *((r.id, r.where) for r in found.rules),
            ("number", found.number_where),
        )
        yield Breach(found.says, places, found.mend, None)


def _broken_on(
    policy: Policy, day: date, walked: Walked, count: _Count
) -> Iterator[tuple[tuple[str, ...], Callable[[], Breach]]]:
    """Yield what tells one breach from another, and how to say it."""
    try:
        stage = stage_on(policy, day)
    except NoRuleError as error:
        fault = error.fault
        place = ((policy.id, fault.where),)
        late = Breach(fault.what, place, fault.mend, None)
        yield (fault.where,), lambda: late
        return
    asked = {one.id: one.where for one in stage.bedside.checks}
    for rehearsal in rehearse_on(stage, (), walked):
        count.claims += sum(len(one.branch.acts) for one in rehearsal.branches)
        found = [b for one in rehearsal.branches for b in one.walk.breaks]
        for broken in found:
            key = (rehearsal.procedure.id, broken.step, broken.table)
            yield key, partial(_breach, rehearsal, broken, asked.get(broken.table))


def _breach(rehearsal: Rehearsal, found: Break, asked: str | None) -> Breach:
    """Return a break in words: with the step, and the rule that a set may loosen."""
    procedure, step = rehearsal.procedure, step_of(rehearsal, found)
    at = f"step {found.step} “{step.says}”" if step else PLACES[found.step]
    where = done_where(rehearsal, found)
    place = (step.id, step.where) if step else (procedure.id, procedure.where)
    rule = ((found.table.removeprefix(CORE), asked),) if asked else ()
    return Breach(
        says=(
            f"{procedure.title}, {at}: {found.says} "
            f"({found.rule}; then {found.state}{where})"
        ),
        rules=(place, *rule),
        mend=found.mend,
        shown_by=None,
    )
