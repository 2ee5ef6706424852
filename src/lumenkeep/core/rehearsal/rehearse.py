"""Rehearse a set's procedures: walk every branch, for every plan, on every day to come.

A change that is written for next year is walked today: a longer drying time must not
find a procedure that still waits the shorter one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.branch import Branch, Setting, laid_out, steps_for
from lumenkeep.core.asepsis.check import Walk, walk
from lumenkeep.core.asepsis.procedure import Procedure
from lumenkeep.core.rehearsal.procedure_files import bedside_of, days_of_numbers
from lumenkeep.core.rehearsal.setting_words import Words
from lumenkeep.core.rehearsal.stage import Stage
from lumenkeep.errors import Fault, NoRuleError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from lumenkeep.core.asepsis.procedure import Step
    from lumenkeep.core.policy import Policy

Walked = dict[tuple[object, ...], "Rehearsed"]
"""Branches walked, by what tells them apart on any day."""
STARTING = {"residue", "unit", "soil", "technique"}
"""Facts that say what a scrub leaves, how a branch starts and where its items lie."""


@dataclass(frozen=True, slots=True)
class Rehearsed:
    """One branch, walked.

    Attributes
    ----------
    settings
        The words of every setting that is done so; many give the same steps.
    """

    branch: Branch
    walk: Walk
    settings: tuple[Words, ...] = ()


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """What walking the branches of one procedure found.

    Attributes
    ----------
    settings
        Settings walked (count); many give the same steps.
    branches
        Branches with steps or seconds of their own.
    """

    procedure: Procedure
    settings: int
    branches: tuple[Rehearsed, ...]

    @property
    def is_sound(self) -> bool:
        """Whether no branch breaks a rule."""
        return all(one.walk.is_sound for one in self.branches)


def rehearse(
    procedure: Procedure, stage: Stage, walked: Walked | None = None
) -> Rehearsal:
    """Return the walk of every branch of a procedure.

    Parameters
    ----------
    procedure
        One of the stage's procedures, or one changed by hand.
    stage
        The set, its procedures and the day.
    walked
        Branches that were walked for another day; what is done alike is taken from
        there, and what is new is put there.
    """
    alike: dict[tuple[object, ...], list[Words]] = {}
    conditions, counted = stage.conditions_of(procedure)
    for words, _ in stage.walked_settings(procedure):
        setting = stage.setting(procedure, words)
        held = tuple(setting.holds(when) for when in conditions)
        key = (*_told_apart(procedure, setting, counted), held)
        alike.setdefault(key, []).append(words)
    walked = {} if walked is None else walked
    branches = []
    for key, settings in alike.items():
        on_any_day = (procedure.id, stage.least_times, *key)
        if on_any_day not in walked:
            walked[on_any_day] = _rehearsed(procedure, stage, tuple(settings))
        branches.append(walked[on_any_day])
    return Rehearsal(procedure, sum(map(len, alike.values())), tuple(branches))


def _rehearsed(
    procedure: Procedure, stage: Stage, settings: tuple[Words, ...]
) -> Rehearsed:
    setting = stage.setting(procedure, settings[0])
    branch = laid_out(procedure, stage.bedside, setting, _name(settings[0]))
    return Rehearsed(branch, walk(branch), settings)


def _told_apart(
    procedure: Procedure, setting: Setting, counted: set[str]
) -> tuple[object, ...]:
    """Return what tells one branch from another: all but the words that are shown."""
    seconds, facts = setting.seconds, setting.facts
    steps = steps_for(procedure, setting)
    return (
        tuple((*_done(step), seconds.get(step.seconds or "")) for step in steps),
        *(seconds[least] for least in ("plan.scrub", "plan.dry", "plan.hub-scrub")),
        *(facts.get(fact) for fact in sorted(counted | STARTING)),
        setting.swabs,
    )


def _done(step: Step) -> tuple[object, ...]:
    what = (step.id, step.actor, step.verb, step.objects, step.touches, step.manner)
    return (*what, step.uses, step.opens, step.opens_all)


def named_branches(procedure: Procedure, stage: Stage) -> tuple[Branch, ...]:
    """Return the branches that the procedure's file names, where the set can plan them.

    What a branch leaves open takes the first word of the procedure's own list.
    """
    found = []
    for name, fixed in procedure.branches:
        words = {fact: choices[:1] for fact, choices in stage.vary_of(procedure)}
        words |= dict(fixed)
        if stage.can_plan(words):
            setting = stage.setting(procedure, words)
            found.append(laid_out(procedure, stage.bedside, setting, name))
    return tuple(found)


def _name(words: Words) -> str:
    return ", ".join(
        f"{fact} {'+'.join(chosen)}" for fact, chosen in sorted(words.items())
    )


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
