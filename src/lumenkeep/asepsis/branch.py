"""Lay a procedure out for one setting: its steps in order, with seconds and counts.

A `Setting` is what the change plan says, in words, and the plan's own seconds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.asepsis.act import Act, CompiledRows
from lumenkeep.asepsis.effects import EFFECTS
from lumenkeep.asepsis.rules import compiled_rows, tests_for
from lumenkeep.asepsis.state import Lot, State, with_facts
from lumenkeep.asepsis.words import PEOPLE, PLAN_SWABS

if TYPE_CHECKING:
    from lumenkeep.asepsis.procedure import (
        AsepsisRule,
        Bedside,
        Procedure,
        Step,
        When,
    )


@dataclass(frozen=True, slots=True)
class Setting:
    """What the steps depend on.

    Parameters
    ----------
    facts
        Words that hold, by fact of the setting.
    seconds
        Least times (s) by the id of their number, ``plan.scrub`` and the like
        among them.
    swabs
        Swabs of the planned scrub (count).
    hand_rub
        Least time of hand hygiene (s).
    """

    facts: Mapping[str, frozenset[str]]
    seconds: Mapping[str, int]
    swabs: int
    hand_rub: int

    def holds(self, when: When) -> bool:
        """Return whether one row of conditions holds; no rows always hold."""
        return not when or any(
            all(
                bool(self.facts.get(c.fact, frozenset()) & c.words) is c.wanted
                for c in row
            )
            for row in when
        )


@dataclass(frozen=True, slots=True)
class Branch:
    """One procedure for one setting."""

    procedure: str
    name: str
    setting: Setting
    acts: tuple[Act, ...]
    items: tuple[str, ...]
    start: State
    ends: CompiledRows
    resets: tuple[str, ...]
    maker: Maker

    def planned(self) -> tuple[int, ...]:
        """Return how many of each item the steps use (count)."""
        counts = [0 for _ in self.items]
        for act in self.acts:
            for place, count in act.uses:
                counts[place] += count
        return tuple(counts)


class Maker:
    """Turns steps into acts for one bedside and one setting.

    Only items that the steps, or what may be done after a slip, use are counted; all
    of them where no steps are given.
    """

    def __init__(
        self,
        bedside: Bedside,
        setting: Setting,
        rules: tuple[AsepsisRule, ...],
        steps: Sequence[Step] = (),
    ) -> None:
        self.setting = setting
        self.rules = tuple(rule for rule in rules if setting.holds(rule.when))
        self.items = tuple(bedside.items)
        if steps:
            used = {
                item
                for step in (*steps, *bedside.moves)
                if setting.holds(step.when)
                for item, _ in (*step.uses, *step.opens)
            }
            self.items = tuple(item for item in self.items if item in used)
        self.place = {item: place for place, item in enumerate(self.items)}
        sterile = "sterile" in setting.facts.get("technique", frozenset())
        laid = ("field", "either") if sterile else ("field",)
        self.from_field = tuple(bedside.items[i].place in laid for i in self.items)
        self.residue = "yes" in setting.facts.get("residue", frozenset())

    def act(self, step: Step, opens: tuple[tuple[int, int], ...] = ()) -> Act:
        """Return the step ready to be done; ``opens`` adds to what it opens."""
        seconds = self.setting.seconds[step.seconds] if step.seconds else 0
        act = Act(
            step=step,
            seconds=seconds,
            people=PEOPLE[step.actor],
            effect=EFFECTS.get(step.verb),
            uses=self._counts(step.uses),
            opens=(*self._counts(step.opens), *opens),
            from_field=self.from_field,
            short=self._is_short(step, seconds),
            leaves_residue=self.residue,
            tests=(),
        )
        return replace(act, tests=tests_for(act, self.rules))

    def _counts(
        self, counts: tuple[tuple[str, int | str], ...]
    ) -> tuple[tuple[int, int], ...]:
        return tuple(
            (
                self.place[item],
                self.setting.swabs if count == PLAN_SWABS else int(count),
            )
            for item, count in counts
        )

    def _is_short(self, step: Step, seconds: int) -> bool:
        if step.verb == "hand-hygiene":
            return seconds < self.setting.hand_rub
        if step.verb not in ("scrub", "wait"):
            return False
        if "hub" in step.objects:
            least = "plan.hub-scrub"
            return step.verb == "scrub" and seconds < self.setting.seconds[least]
        least = "plan.scrub" if step.verb == "scrub" else "plan.dry"
        return seconds < self.setting.seconds[least]


def laid_out(
    procedure: Procedure, bedside: Bedside, setting: Setting, name: str = ""
) -> Branch:
    """Return a procedure's steps for one setting, in order.

    Parameters
    ----------
    procedure
        One of ``bedside.procedures``, or one changed by hand.
    bedside
        Items and rules.
    setting
        What the conditions of the steps speak of.
    name
        What the branch is called.
    """
    steps = [step for step in procedure.steps if setting.holds(step.when)]
    maker = Maker(bedside, setting, bedside.rules, steps)
    acts = [maker.act(step) for step in steps]
    acts = [
        maker.act(step, _all_used(acts[place:])) if step.opens_all else act
        for place, (step, act) in enumerate(zip(steps, acts, strict=True))
    ]
    branch = Branch(
        procedure=procedure.id,
        name=name,
        setting=setting,
        acts=tuple(acts),
        items=maker.items,
        start=State(),
        ends=compiled_rows(procedure.ends, ""),
        resets=procedure.resets,
        maker=maker,
    )
    start = State(items=tuple(Lot(count) for count in branch.planned()))
    facts = dict(procedure.starts)
    if setting.facts.get("soil"):
        facts["soil"] = "yes" if "yes" in setting.facts["soil"] else "no"
    return replace(branch, start=with_facts(start, facts))


def _all_used(acts: list[Act]) -> tuple[tuple[int, int], ...]:
    counts: dict[int, int] = {}
    for act in acts:
        for place, count in act.uses:
            if act.from_field[place]:
                counts[place] = counts.get(place, 0) + count
    return tuple(sorted(counts.items()))
