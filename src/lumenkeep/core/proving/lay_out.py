"""Hold what a change plan lays out against what the steps of its procedure use.

Counts for every child who gets a plan; sizes once for the set. What only the people at
the bedside find out, as soil to wash off, is taken as usual: the guide lays that out on
top when it is answered.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from time import perf_counter
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.branch import steps_for
from lumenkeep.core.asepsis.words import PLAN_SWABS
from lumenkeep.core.policy.solver import Breach, Need, Part, Use, Who, prove_lay_out
from lumenkeep.core.recovery.chosen_branch import ASKED
from lumenkeep.core.recovery.lay_out import SWAB, SWABS_OF
from lumenkeep.core.rehearsal.procedure_files import (
    bedside_of,
    change_procedure,
    change_procedures,
)
from lumenkeep.core.rehearsal.rehearse import days_to_come, stage_on
from lumenkeep.core.rehearsal.setting_words import CHARTED_FACTS, every_setting
from lumenkeep.core.rehearsal.stage import (
    BANDAGE,
    BARRIER_FILM,
    MASK_FROM,
    MASKED,
    STICKING,
)
from lumenkeep.errors import NoRuleError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from lumenkeep.core.asepsis.procedure import Item, Procedure, Step
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.rehearsal.setting_words import Words
    from lumenkeep.core.rehearsal.stage import Stage

NAME = "laid-out"


def lay_out_part(policy: Policy, day: date) -> Part:
    """Return whether each plan of a set lays out what its change uses.

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
    start, claims = perf_counter(), 0
    breaches: dict[tuple[object, ...], Breach] = {}
    for one in days_to_come(policy, day):
        try:
            stage = stage_on(policy, one)
        except NoRuleError:
            continue  # told by the property that walks the procedures
        written = change_procedure(stage.bedside)
        if written is None:
            continue
        needs = list(needs_of(stage, written))
        sized = [*_sizes(stage, written), *_second_change(stage)]
        count, found = prove_lay_out(policy, one, needs, _mask_from(stage))
        claims += count + len(sized)
        for breach in (*found, *(b for b in sized if b is not None)):
            since = one if one > day else None
            breaches.setdefault(
                (breach.says, breach.rules), replace(breach, since=since)
            )
    return Part(NAME, claims, perf_counter() - start, tuple(breaches.values()))


def _mask_from(stage: Stage) -> str | None:
    return MASK_FROM if MASK_FROM in stage.policy.numbers else None


def needs_of(stage: Stage, written: Procedure) -> Iterator[Need]:
    """Yield what the steps use of each thing, for each agent and dressing of the set."""
    lies_there = {spare.item for spare in stage.bedside.room}
    used = dict.fromkeys(item for step in written.steps for item, _ in step.uses)
    for item in used:
        thing = stage.bedside.items[item]
        for (agent, kind), (uses, steps) in _uses(stage, written, item).items():
            supplies = _supplies(thing, agent)
            if supplies or item not in lies_there:
                yield Need(agent, kind, thing.label, supplies, uses, steps)


def used_by_no_step(policy: Policy, day: date) -> tuple[str, ...]:
    """Return the labels of what plans lay out although no step of the change takes it.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    bedside = bedside_of(policy, day)
    written = change_procedure(bedside)
    if written is None:
        return ()
    used = {item for step in written.steps for item, _ in step.uses}
    taken = {
        supply
        for item in used
        for agent in policy.antiseptics
        for supply in _supplies(bedside.items[item], agent)
    }
    idle = (
        rule.label
        for rule in policy.supplies
        if rule.item not in taken and not rule.item.startswith(SWABS_OF)
    )
    return tuple(dict.fromkeys(idle))


def _uses(
    stage: Stage, written: Procedure, item: str
) -> dict[tuple[str, str], tuple[tuple[Use, ...], tuple[tuple[str, str], ...]]]:
    """Return for each agent and dressing what is used of one thing, and by what steps."""
    using = [step for step in written.steps if any(i == item for i, _ in step.uses)]
    uses: dict[tuple[str, str], dict[Use, None]] = {}
    steps: dict[tuple[str, str], dict[tuple[str, str], None]] = {}
    for words, classes in every_setting(_that_matter(stage, written, using)):
        setting, who = stage.setting(written, words), _who(classes)
        done = [s for s in steps_for(written, setting) if dict(s.uses).get(item)]
        counts = [dict(step.uses)[item] for step in done]
        count = sum(setting.swabs if n == PLAN_SWABS else int(n) for n in counts)
        for key in _chosen(stage, words) if count else ():
            uses.setdefault(key, {})[Use(count, who)] = None
            told = ((step.id, step.says) for step in done)
            steps.setdefault(key, {}).update(dict.fromkeys(told))
    return {key: (tuple(found), tuple(steps[key])) for key, found in uses.items()}


def _that_matter(
    stage: Stage, written: Procedure, using: list[Step]
) -> dict[str, list[tuple[str, ...]]]:
    """Return the settings on which some steps hang, what is asked taken as usual.

    The agent always does: its swabs are counted by it.
    """
    spoken_of = {c.fact for step in using for row in step.when for c in row}
    return {
        fact: classes[:1] if fact in ASKED and fact not in CHARTED_FACTS else classes
        for fact, classes in stage.classes_of(written).items()
        if fact in spoken_of | {"agent"} or fact in ASKED
    }


def _chosen(stage: Stage, words: Words) -> Iterator[tuple[str, str]]:
    """Yield the agents and dressings of a setting: any, where it names none."""
    agents = words.get("agent", stage.policy.antiseptics)
    return product(agents, words.get("dressing", stage.policy.dressings))


def _supplies(item: Item, agent: str) -> tuple[str, ...]:
    """Return the plan's words for an item."""
    own = SWABS_OF + agent if item.id == SWAB else item.supply
    return (*((own,) if own else ()), *item.also)


def _who(classes: Words) -> Who:
    """Return for which children a setting is done."""
    masks, holds = classes.get("masks"), classes.get("holds")
    lies: tuple[str, ...] = ()
    lies_not: tuple[str, ...] = ()
    if holds is not None and holds[0] == BANDAGE:
        lies = (BANDAGE,)
    elif holds is not None:
        lies_not = (BANDAGE,)
        if holds[0] == STICKING:
            lies = (BARRIER_FILM,)
        else:
            lies_not = (BANDAGE, BARRIER_FILM)
    return Who(
        words=tuple((f, classes[f]) for f in CHARTED_FACTS if f in classes),
        masked=None if masks is None else masks[0] == MASKED,
        lies=lies,
        lies_not=lies_not,
    )


def _second_change(stage: Stage) -> Iterator[Breach | None]:
    """Yield what is wrong where two procedures are changes of a dressing."""
    first, *others = change_procedures(stage.bedside)
    for other in others:
        yield Breach(
            says=(
                f"{first.title} and {other.title.lower()} both change a dressing and "
                "nothing else: nobody could say for which of them plans lay out."
            ),
            rules=((first.id, first.where), (other.id, other.where)),
            mend="keep one of the two, or write under 'resets' what the other is for",
            shown_by=None,
        )


def _sizes(stage: Stage, written: Procedure) -> Iterator[Breach | None]:
    """Yield for each supply that must fit somebody what is wrong with its size."""
    fits: Mapping[str, Item] = {
        supply: item
        for item in stage.bedside.items.values()
        for supply in (item.supply, *item.also)
        if supply
    }
    for rule in stage.policy.supplies:
        item = fits.get(rule.item)
        if item is None or item.size_of == rule.size_of:
            yield None
            continue
        whose = f"the {item.size_of}’s" if item.size_of else "no"
        given = f"in the {rule.size_of}’s" if rule.size_of else "in no size"
        yield Breach(
            says=(
                f"{rule.label}: laid out {given}{' size' if rule.size_of else ''}, and "
                f"{written.title.lower()} takes {whose} size."
            ),
            rules=((rule.id, rule.where), (item.id, item.where)),
            mend=(
                f'write size_of = "{item.size_of}"'
                if item.size_of
                else "take size_of out"
            ),
            shown_by=None,
        )
