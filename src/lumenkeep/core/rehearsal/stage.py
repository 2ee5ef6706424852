"""A set on one day, with its procedures: what branches are laid out from."""

from __future__ import annotations

from datetime import UTC, datetime, time
from itertools import product
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.branch import Setting
from lumenkeep.core.asepsis.heads import kinds_of
from lumenkeep.core.asepsis.procedure import Needed, Procedure
from lumenkeep.core.model import Case, Elapsed, Line, Unknown
from lumenkeep.core.planning.technique import site_rules_that_may_apply, technique
from lumenkeep.core.policy import Situation
from lumenkeep.core.policy.numbers import as_span
from lumenkeep.core.rehearsal.procedure_files import change_procedure
from lumenkeep.core.rehearsal.setting_words import (
    CHARTED_FACTS,
    UNKNOWN,
    Words,
    alike,
    beside_procedure,
    every_setting,
    when_procedure,
)
from lumenkeep.errors import Fault, PolicyError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.asepsis.when import When
    from lumenkeep.core.planning.plan import Plan, Technique
    from lumenkeep.core.policy import LiveWhen, Policy, RuleBook

HAND_RUB = "hand-rub"
HUB_SCRUB = "hub-scrub"
MASK_FROM = "mask-from"
MASKED, TURNED = "child-too", "not-the-child"
"""Whether a child is of an age to be masked; the safe side first."""
MASKS = (TURNED, MASKED)
STICKING, UNGUARDED, BANDAGE = "sticking", "sticking-unguarded", "bandage"
"""What holds line and dressing: something that sticks, on barrier film or straight on
the skin of a child who cannot have it, or a bandage round the limb."""
HOLDS = (STICKING, UNGUARDED, BANDAGE)
BARRIER_FILM = "barrier-film"
LAID_OUT = {STICKING: BARRIER_FILM, BANDAGE: BANDAGE}
"""What a plan must lay out for it."""
WORD_TESTS = ("is", "is_not")


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
        self.least_times = tuple(sorted(self._seconds.items()))
        self._ways: dict[tuple[str, str], Technique] = {}
        self._fixed: Words = {}
        self._kinds: dict[int, tuple[Procedure, frozenset[str]]] = {}

    @classmethod
    def for_plan(
        cls, policy: Policy, bedside: Bedside, case: Case, plan: Plan
    ) -> Stage:
        """Return the stage of one child's change plan: what is known is not varied."""
        stage = cls(policy, bedside, plan.at.astimezone(case.zone).date(), plan)
        known = {
            "site": case.line.site,
            "unit": case.child.unit,
            "worn": case.line.dressing.kind,
            "lumens": case.line.lumens,
        }
        fixed: Words = {
            f: (str(v),) for f, v in known.items() if not isinstance(v, Unknown)
        }
        fixed["masks"] = (stage._masks(case, plan.at),)
        laid = {line.item for line in plan.supplies}
        guarded = STICKING if BARRIER_FILM in laid else UNGUARDED
        fixed["holds"] = (BANDAGE if BANDAGE in laid else guarded,)
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
        mentioned |= self.walked_by(procedure)
        if "dressing" in mentioned:
            vary["dressing"] = self.policy.dressings
        if "masks" in mentioned:
            vary["masks"] = MASKS
        if "holds" in mentioned:
            vary["holds"] = HOLDS
        return [(fact, self._fixed.get(fact, words)) for fact, words in vary.items()]

    def kinds(self, procedure: Procedure) -> frozenset[str]:
        """Return what a procedure is held to: its own id, and what it is by its acts."""
        known = self._kinds.get(id(procedure))
        if known is None or known[0] is not procedure:
            known = procedure, kinds_of(procedure, self.bedside.kinds)
            self._kinds[id(procedure)] = known
        return known[1]

    def walked_by(self, procedure: Procedure) -> set[str]:
        """Return the facts by which a procedure is walked, whatever its file varies."""
        kinds = self.kinds(procedure)
        return {
            fact
            for head in self.bedside.heads
            if head.walked and when_procedure(head.when, kinds)
            for fact in head.walked
        }

    def conditions_of(self, procedure: Procedure) -> tuple[tuple[When, ...], set[str]]:
        """Return on which conditions it hangs what a procedure is held to, each once.

        And the facts whose word says how often a step must be there.
        """
        kinds = self.kinds(procedure)
        held = [c for c in self.bedside.checks if when_procedure(c.when, kinds)]
        counted = {one.times for one in held if isinstance(one, Needed) and one.times}
        whens = (beside_procedure(check.when, kinds) for check in held)
        return tuple(dict.fromkeys(when for when in whens if when)), counted

    def settings_of(self, procedure: Procedure) -> Iterator[Words]:
        """Yield every choice of words for the facts that make branches."""
        vary = self.vary_of(procedure)
        for chosen in product(*(words for _, words in vary)):
            yield {fact: (word,) for (fact, _), word in zip(vary, chosen, strict=True)}

    def walked_settings(self, procedure: Procedure) -> Iterator[tuple[Words, Words]]:
        """Yield every setting that is done apart, with the words done alike in each.

        Beyond the words that the procedure names, every site, unit, number of lumens
        and dressing worn that a child may have. Of a change of a dressing those only in
        which the plan can lay out what holds it.
        """
        planned = change_procedure(self.bedside) is procedure
        for words, classes in every_setting(self.classes_of(procedure)):
            if not planned or self._may_lie(classes):
                yield words, classes

    def _may_lie(self, words: Words) -> bool:
        """Return whether what holds line and dressing may be laid out for such children."""
        needed = LAID_OUT.get(words.get("holds", ("",))[0])
        return needed is None or any(
            _may_hold(live.when, words)
            for live in self.book.supplies
            if live.rule.item == needed
        )

    def classes_of(self, procedure: Procedure) -> dict[str, list[tuple[str, ...]]]:
        """Return for each fact of a procedure's settings the words done alike."""
        vary: dict[str, list[tuple[str, ...]]] = {
            fact: [(word,) for word in words] for fact, words in self.vary_of(procedure)
        }
        for fact in CHARTED_FACTS:
            if fact not in self._fixed:
                walked = fact in self.walked_by(procedure)
                classes = alike(
                    procedure, self.bedside, self.policy, fact, always=walked
                )
                vary |= {fact: classes} if classes else {}
        return vary

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
        told = {fact: w for fact, w in self._fixed.items() if _tells(procedure, fact)}
        known = {**told, **words}
        facts = {fact: frozenset(chosen) for fact, chosen in known.items()}
        facts["procedure"] = self.kinds(procedure)
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

    def _masks(self, case: Case, at: datetime) -> str:
        """Return whether a child is masked, as the set's age says; of unknown birth never."""
        number = self.bedside.numbers.get(MASK_FROM)
        value = number.on(self.day) if number else None
        born = case.child.born
        if value is None or isinstance(born, Unknown):
            return TURNED
        reached = as_span(value.value).after(born.latest, case.zone)
        return MASKED if reached <= at else TURNED

    def _way(self, agent: str, site: str) -> Technique:
        if self.plan is not None and self.plan.antiseptic is not None:
            return self.plan.antiseptic
        if (agent, site) not in self._ways:
            line = Line(site=site) if site else Line()
            at = datetime.combine(self.day, time(), UTC)
            situation = Situation(Case(line=line), at)
            situation.agent = agent
            held, open_ = site_rules_that_may_apply(self.book, situation)
            self._ways[agent, site] = technique(self.book, agent, [*held, *open_])
        return self._ways[agent, site]


def _may_hold(when: LiveWhen, words: Words) -> bool:
    """Return whether a condition may hold in a setting; what it does not name may be.

    A child of whom a fact is not known is one of those that its class is done like.
    """
    return not when.rows or any(
        all(
            any(
                (word in c.limit) is (c.test == "is")  # type: ignore[operator]  # words
                for word in words[c.fact]
                if word != UNKNOWN
            )
            for c in row
            if c.fact in words and c.test in WORD_TESTS
        )
        for row in when.rows
    )


def _tells(procedure: Procedure, fact: str) -> bool:
    return any(c.fact == fact for s in procedure.steps for row in s.when for c in row)


def _scrubs_skin(procedure: Procedure) -> bool:
    return any(s.verb == "scrub" and "site" in s.objects for s in procedure.steps)


def _all_seconds(bedside: Bedside, day: date) -> dict[str, int]:
    found = {}
    for number in bedside.numbers.values():
        value = number.on(day)
        if value is not None and isinstance(value.value, Elapsed):
            found[number.id] = value.value.seconds
    return found
