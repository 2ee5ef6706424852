"""Lay a procedure out for one setting: its steps in order, with seconds and counts.

A `Setting` is what the change plan says, in words, and the plan's own seconds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.act import Act, CompiledRows
from lumenkeep.core.asepsis.effects import EFFECTS
from lumenkeep.core.asepsis.endings import endings_of
from lumenkeep.core.asepsis.rules import book_of, compiled_rows
from lumenkeep.core.asepsis.state import Lot, State, with_facts
from lumenkeep.core.asepsis.words import LEAST, PEOPLE, PLAN_SWABS, SWAB

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.head import ProcedureHead
    from lumenkeep.core.asepsis.procedure import (
        AsepsisRule,
        Bedside,
        Procedure,
        Repeat,
        Step,
    )
    from lumenkeep.core.asepsis.when import Row, Rows, When


SMALLEST = "newborn-intensive-care"
NO_WORD: frozenset[str] = frozenset()
"""The unit whose babies lie so small that antiseptic runs under them."""


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
        # Asked a million times in a proof: loops, not generators.
        for row in when:
            for c in row:
                if self.facts.get(c.fact, NO_WORD).isdisjoint(c.words) is c.wanted:
                    break
            else:
                return True
        return not when


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
    asks: tuple[tuple[str, tuple[str, ...]], ...] = ()

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
        held = tuple(rule for rule in rules if setting.holds(rule.when))
        self._tests = book_of(held)
        self.endings = endings_of(bedside.safe, setting.holds)
        self.needed = tuple(one for one in bedside.needed if setting.holds(one.when))
        self.heads = tuple(one for one in bedside.heads if setting.holds(one.when))
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
        self.may_pool = SMALLEST in setting.facts.get("unit", frozenset())

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
            lean=self._is_lean(step),
            few=_is_few(step),
            leaves_residue=self.residue or self.may_pool,
            may_pool=self.may_pool,
            tests=(),
        )
        read = self._tests.read(act)
        return replace(act, tests=read.tests, said=read.said)

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
        least_of = [
            LEAST[key] for thing in step.objects if (key := (step.verb, thing)) in LEAST
        ]
        if least_of:
            return any(seconds < self.setting.seconds.get(id_, 0) for id_ in least_of)
        if step.verb not in ("scrub", "wait"):
            return False
        if "hub" in step.objects:
            least = "plan.hub-scrub"
            return step.verb == "scrub" and seconds < self.setting.seconds[least]
        least = "plan.scrub" if step.verb == "scrub" else "plan.dry"
        return seconds < self.setting.seconds[least]

    def _is_lean(self, step: Step) -> bool:
        if step.verb != "scrub" or "site" not in step.objects:
            return False
        counts = [
            n == PLAN_SWABS or int(n) >= self.setting.swabs
            for item, n in step.uses
            if item == SWAB
        ]
        return not any(counts)


def _every_end(own: Rows, heads: tuple[ProcedureHead, ...]) -> Rows:
    """Return the rows in which a procedure may end: its own, and what it is held to.

    So a way back too leads to nothing less.
    """
    rows = own
    for head in heads:
        if head.ends:
            rows = tuple(_both(a, b) for a in rows or ((),) for b in head.ends)
    return rows


def _both(one: Row, other: Row) -> Row:
    words = dict(one)
    for fact, allowed in other:
        words[fact] = words.get(fact, allowed) & allowed
    return tuple(words.items())


def _is_few(step: Step) -> bool:
    """Return whether gloves or masks do not go round; who stands by has an own mask."""
    if step.verb not in ("don", "mask"):
        return False
    people = [person for person in PEOPLE[step.actor] if person != "near"]
    pieces = sum(int(count) for _, count in step.uses if count != PLAN_SWABS)
    return pieces < max(len(people), 1)


def length_of(procedure: Procedure, setting: Setting) -> tuple[int, int]:
    """Return how many steps a procedure has for one setting, and their least time (s).

    Without laying them out: whoever looks for the longest of many branches lays out
    that one only.
    """
    steps = steps_for(procedure, setting)
    times = (setting.seconds[step.seconds] for step in steps if step.seconds)
    return len(steps), sum(times)


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
    steps = steps_for(procedure, setting)
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
        ends=compiled_rows(_every_end(procedure.ends, maker.heads), ""),
        resets=procedure.resets,
        maker=maker,
        asks=procedure.vary,
    )
    start = State(items=tuple(Lot(count) for count in branch.planned()))
    facts = dict(procedure.starts)
    if setting.facts.get("soil"):
        facts["soil"] = "yes" if "yes" in setting.facts["soil"] else "no"
    return replace(branch, start=with_facts(start, facts))


def steps_for(procedure: Procedure, setting: Setting) -> list[Step]:
    """Return a procedure's steps for one setting; what is repeated, once each time.

    From the second time on a step's id ends in the number of the time, and its
    sentence begins with it.
    """
    steps, repeat = procedure.steps, procedure.repeat
    times = times_of(repeat.each, setting) if repeat else 1
    if repeat is not None and times > 1:
        ids = [step.id for step in steps]
        first, end = ids.index(repeat.first), ids.index(repeat.last) + 1
        again = (
            _one_time(step, repeat, time, times)
            for time in range(1, times + 1)
            for step in steps[first:end]
        )
        steps = (*steps[:first], *again, *steps[end:])
    return [step for step in steps if setting.holds(step.when)]


def times_of(fact: str, setting: Setting) -> int:
    """Return how often something is done that is done once for each of a fact."""
    return max((int(word) for word in setting.facts.get(fact, ())), default=1)


def _one_time(step: Step, repeat: Repeat, time: int, times: int) -> Step:
    says = f"{repeat.called} {time} of {times}: {step.says}"
    return replace(step, id=step.id if time == 1 else f"{step.id}-{time}", says=says)


def _all_used(acts: list[Act]) -> tuple[tuple[int, int], ...]:
    counts: dict[int, int] = {}
    for act in acts:
        for place, count in act.uses:
            if act.from_field[place]:
                counts[place] = counts.get(place, 0) + count
    return tuple(sorted(counts.items()))
