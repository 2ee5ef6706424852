"""Rehearse a set's procedures: walk every branch, for every plan the set can make."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time
from itertools import product
from typing import TYPE_CHECKING

from lumenkeep.asepsis.branch import Branch, Setting, laid_out
from lumenkeep.asepsis.check import Walk, walk
from lumenkeep.asepsis.procedure import Procedure
from lumenkeep.errors import Fault, PolicyError
from lumenkeep.model import Case, Elapsed, Line, Unknown
from lumenkeep.planning.technique import site_rules_that_may_apply, technique
from lumenkeep.policy import Situation

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from lumenkeep.asepsis.procedure import Bedside
    from lumenkeep.planning.plan import Plan, Technique
    from lumenkeep.policy import Policy, RuleBook

Words = dict[str, tuple[str, ...]]
HAND_RUB = "hand-rub"
HUB_SCRUB = "hub-scrub"


@dataclass(frozen=True, slots=True)
class Rehearsed:
    """One branch, walked."""

    branch: Branch
    walk: Walk


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """What walking the branches of one procedure found.

    Attributes
    ----------
    settings
        Settings walked; many give the same steps.
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


def rehearse(procedure: Procedure, stage: Stage) -> Rehearsal:
    """Return the walk of every branch of a procedure.

    Parameters
    ----------
    procedure
        One of the stage's procedures, or one changed by hand.
    stage
        The set, its procedures and the day.
    """
    count = 0
    seen: dict[tuple[object, ...], Rehearsed] = {}
    for words in stage.settings_of(procedure):
        count += 1
        setting = stage.setting(procedure, words)
        branch = laid_out(procedure, stage.bedside, setting, _name(words))
        key = tuple(
            (act.step.id, act.seconds, act.uses, act.leaves_residue)
            for act in branch.acts
        )
        if key not in seen:
            seen[key] = Rehearsed(branch, walk(branch))
    return Rehearsal(procedure, count, tuple(seen.values()))


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


class Stage:
    """A set, its procedures, and one day's numbers: what branches are laid out from."""

    def __init__(
        self, policy: Policy, bedside: Bedside, day: date, plan: Plan | None = None
    ) -> None:
        self.policy = policy
        self.bedside = bedside
        self.day = day
        self.plan = plan
        self.book: RuleBook = policy.on(day)
        self._seconds = _all_seconds(bedside, day)
        self._ways: dict[tuple[str, str], Technique] = {}
        self._fixed: Words = {}

    @classmethod
    def for_plan(
        cls, policy: Policy, bedside: Bedside, case: Case, plan: Plan
    ) -> Stage:
        """Return the stage of one child's change plan: what is known is not varied."""
        stage = cls(policy, bedside, plan.at.astimezone(case.zone).date(), plan)
        known = {"site": case.line.site, "unit": case.child.unit}
        fixed: Words = {
            f: (str(v),) for f, v in known.items() if not isinstance(v, Unknown)
        }
        if plan.antiseptic is not None:
            fixed["agent"] = (plan.antiseptic.agent,)
        if plan.dressing is not None:
            fixed["dressing"] = (plan.dressing.kind,)
        stage._fixed = fixed
        return stage

    def procedure(self, name: str) -> Procedure:
        """Return a procedure by its id.

        Raises
        ------
        PolicyError
            ``policy-no-such-procedure``: the set has none of that name.
        """
        found = self.bedside.procedures.get(name)
        if found is None:
            raise PolicyError(
                [
                    Fault(
                        "policy-no-such-procedure",
                        f"There is no procedure '{name}' in this set.",
                        name,
                        "name one of: " + ", ".join(sorted(self.bedside.procedures)),
                    )
                ]
            )
        return found

    def vary_of(self, procedure: Procedure) -> list[tuple[str, tuple[str, ...]]]:
        """Return the facts that make branches, with every word each may take."""
        vary = dict(procedure.vary)
        mentioned = {c.fact for step in procedure.steps for r in step.when for c in r}
        if {"agent", "motion", "residue"} & mentioned or _scrubs_skin(procedure):
            vary["agent"] = self.policy.antiseptics
        if "dressing" in mentioned:
            vary["dressing"] = self.policy.dressings
        return [(fact, self._fixed.get(fact, words)) for fact, words in vary.items()]

    def settings_of(self, procedure: Procedure) -> Iterator[Words]:
        """Yield every choice of words for the facts that make branches."""
        vary = self.vary_of(procedure)
        for chosen in product(*(words for _, words in vary)):
            yield {fact: (word,) for (fact, _), word in zip(vary, chosen, strict=True)}

    def can_plan(self, words: Mapping[str, tuple[str, ...]]) -> bool:
        """Return whether the set uses the agent and the dressing named."""
        agent, dressing = words.get("agent", ()), words.get("dressing", ())
        return set(agent) <= set(self.policy.antiseptics) and set(dressing) <= set(
            self.policy.dressings
        )

    def setting(
        self, procedure: Procedure, words: Mapping[str, tuple[str, ...]]
    ) -> Setting:
        """Return the setting for some words: with the agent's own way and seconds."""
        facts = {fact: frozenset(chosen) for fact, chosen in words.items()}
        facts["procedure"] = frozenset({procedure.id})
        seconds = dict(self._seconds)
        seconds["plan.hub-scrub"] = seconds[HUB_SCRUB]
        seconds["plan.scrub"] = seconds["plan.dry"] = swabs = 0
        if "agent" in words:
            way = self._way(words["agent"][0], words.get("site", ("",))[0])
            facts["motion"] = frozenset({way.motion})
            leaves = way.residue_removed_with is not None
            facts["residue"] = frozenset({"yes" if leaves else "no"})
            seconds["plan.scrub"], seconds["plan.dry"] = way.scrub_s or 0, way.dry_s
            swabs = way.swabs
        return Setting(facts, seconds, swabs, seconds[HAND_RUB])

    def _way(self, agent: str, site: str) -> Technique:
        if self.plan is not None and self.plan.antiseptic is not None:
            return self.plan.antiseptic
        if (agent, site) not in self._ways:
            line = Line(site=site) if site else Line()
            at = datetime.combine(self.day, time(), UTC)
            situation = Situation(Case(line=line), at)
            situation.agent = agent
            held, _ = site_rules_that_may_apply(self.book, situation)
            self._ways[agent, site] = technique(self.book, agent, held)
        return self._ways[agent, site]


def _scrubs_skin(procedure: Procedure) -> bool:
    return any(s.verb == "scrub" and "site" in s.objects for s in procedure.steps)


def _all_seconds(bedside: Bedside, day: date) -> dict[str, int]:
    found = {}
    for number in bedside.numbers.values():
        value = number.on(day)
        if value is not None and isinstance(value.value, Elapsed):
            found[number.id] = value.value.seconds
    return found
