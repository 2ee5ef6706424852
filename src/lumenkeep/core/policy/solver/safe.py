"""Claims of safety: nothing barred is given, and nothing required is left out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.dressing_kinds import DRESSING_KINDS
from lumenkeep.core.model.words import DRESSINGS, SENSITIVITIES
from lumenkeep.core.policy.read_rules import BATHS
from lumenkeep.core.policy.solver import led
from lumenkeep.core.policy.solver.claims import Claim
from lumenkeep.core.policy.solver.formulas import YES
from lumenkeep.core.policy.solver.of_agent import agent_broken, stands_for
from lumenkeep.core.policy.solver.of_child import of_child_broken
from lumenkeep.core.policy.solver.of_task import stay_broken, task_broken
from lumenkeep.core.policy.solver.risk import no_risk_eases
from lumenkeep.core.policy.solver.worn import nothing_barred_stays_on

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.policy import LiveRule
    from lumenkeep.core.policy.rules import Agent, Requirement, Rule
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer
    from lumenkeep.core.policy.solver.led import Led

ANOTHER = "another verdict is given"


def safe(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield the claims that nobody comes to harm by following the set."""
    yield from _nothing_barred(answer)
    yield from _what_is_in_it(answer)
    yield from nothing_barred_stays_on(answer)
    yield from no_risk_eases(answer)
    for agent in answer.policy.antiseptics:
        yield from _residue_has_its_step(answer, answer.policy.agents[agent])
    for live in answer.book.requirements:
        yield from _requirement(answer, live)


def _nothing_barred(answer: SymbolicAnswer) -> Iterator[Claim]:
    policy = answer.policy
    for agent in policy.antiseptics:
        named = z3.Or(answer.gives(agent), answer.keeps_to(agent))
        yield Claim(
            "safe",
            f"'{agent}' is named for a child whom a rule bars from it, or may bar.",
            z3.And(named, answer.really_barred(agent)),
            answer.child,
            _barring(answer, agent),
            'let the rule ask for its fact: if_unknown = "ask"',
        )
    for kind in policy.dressings:
        yield Claim(
            "safe",
            f"“{DRESSINGS[kind]}” is chosen for a child whom a rule bars from it.",
            z3.And(answer.covers(kind), answer.really_barred(kind)),
            answer.child,
            _barring(answer, kind),
            'let the rule ask for its fact: if_unknown = "ask"',
        )


def _barring(answer: SymbolicAnswer, item: str) -> tuple[Rule, ...]:
    return tuple(e.rule for e in answer.book.exclusions if item in e.rule.bars)


def _what_is_in_it(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield that nobody gets an agent with a substance they do not tolerate."""
    known = answer.child.set_known["sensitivities"]
    for agent in answer.policy.antiseptics:
        rule = answer.policy.agents[agent]
        for substance in rule.contains:
            has = answer.child.members["sensitivities"][substance]
            yield Claim(
                "safe",
                f"'{agent}' contains {substance} and is given to a child who does "
                "not tolerate it.",
                z3.And(answer.gives(agent), known, has),
                answer.child,
                (rule,),
                f"add an [[exclude]] that bars '{agent}' when sensitivities include "
                f"{substance}",
            )
    has = answer.child.members["sensitivities"]["chlorhexidine"]
    for bath in BATHS:
        yield Claim(
            "safe",
            f"'{bath}' is not barred for a child who does not tolerate chlorhexidine.",
            z3.And(known, has, z3.Not(answer.barred(bath))),
            answer.child,
            _barring(answer, bath),
            f"let the allergy's rule bar '{bath}' too",
        )
    for kind in answer.policy.dressings:
        for substance in DRESSING_KINDS[kind].touches_site:
            if substance not in SENSITIVITIES:
                continue
            has = answer.child.members["sensitivities"][substance]
            yield Claim(
                "safe",
                f"“{DRESSINGS[kind]}” is chosen for a child who does not tolerate "
                f"{substance}.",
                z3.And(answer.covers(kind), known, has),
                answer.child,
                _barring(answer, kind),
                f"let the rule for those sensitive to {substance} bar '{kind}' too",
            )


def _residue_has_its_step(answer: SymbolicAnswer, agent: Agent) -> Iterator[Claim]:
    if agent.residue is None:
        return
    given = answer.gives(agent.id)
    laid_out = [
        z3.Not(answer.rule(s, {"agent": agent.id}).fails)
        for s in answer.book.supplies
        if s.rule.item == agent.residue
    ]
    yield Claim(
        "safe",
        f"'{agent.id}' must come off with {agent.residue}, and none is laid out.",
        z3.And(given, z3.Not(z3.Or(laid_out))),
        answer.child,
        (agent,),
        f'add a [[supply]] with item = "{agent.residue}" for this agent',
    )
    if not agent.residue_words:
        yield Claim(
            "safe",
            f"'{agent.id}' must come off with {agent.residue}, and no step says so.",
            given,
            answer.child,
            (agent,),
            "write the step in residue_words",
        )


def _requirement(
    answer: SymbolicAnswer, live: LiveRule[Requirement]
) -> Iterator[Claim]:
    rule = live.rule
    another = tuple(
        (holds, _told(rule, f"{ANOTHER}: {but}"))
        for holds, but in _verdicts(answer, rule)
    )
    for broken, but, leading in _ways_to_break(answer, live):
        yield Claim(
            "safe",
            _told(rule, but),
            broken,
            answer.child,
            (rule,),
            "mend the rules or numbers that lead here, or name this requirement under [[loosened]]",
            led=leading,
            exactly=another if but == ANOTHER else (),
        )


def _told(rule: Requirement, but: str) -> str:
    return f"Required by {rule.source}: {rule.because.rstrip('.')}. But {but}."


def _verdicts(
    answer: SymbolicAnswer, rule: Requirement
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield each verdict that a requirement does not allow, and what it means."""
    if "plan" not in rule.verdict:
        for agent in answer.policy.antiseptics:
            yield answer.gives(agent), f"a plan with '{agent}'"
    if "ask" not in rule.verdict:
        yield answer.asks, "something is asked before there is a plan"
    if "stop" not in rule.verdict:
        yield answer.stops, "no plan, and somebody is to be called"


def _ways_to_break(
    answer: SymbolicAnswer, live: LiveRule[Requirement]
) -> Iterator[tuple[z3.BoolRef, str, Led]]:
    """Yield each way to break a requirement: for whom, how, and what leads there."""
    rule, policy = live.rule, answer.policy

    def applies(planned: dict[str, str | None]) -> z3.BoolRef:
        three = answer.rule(live, planned)
        return three.holds if rule.if_charted else three.really

    if rule.verdict:
        words = {"plan": answer.plans, "ask": answer.asks, "stop": answer.stops}
        right = z3.Or([words[word] for word in rule.verdict])
        broken = z3.And(applies({}), z3.Not(right))
        yield broken, ANOTHER, led.by_verdict(answer, rule)
    for agent in policy.antiseptics:
        named = [applies({"agent": name}) for name in stands_for(answer, agent)]
        given = z3.And(answer.gives(agent), z3.Or(named))
        for broken, but, by in agent_broken(answer, rule, agent):
            yield z3.And(given, broken), but, by
    if rule.staff_at_least:
        least = _plain(answer, rule.staff_at_least)
        few = [s for s in answer.book.staffing if _plain(answer, s.rule.staff) < least]
        alone = z3.Or([z3.Not(answer.rule(s).fails) for s in few])
        broken = z3.And(answer.plans, applies({}), alone)
        yield broken, "fewer people are planned", led.by_staff(answer)
    yield from _let_through(answer, rule, applies({}))
    yield from task_broken(answer, live)
    yield from (
        (broken, but, led.by_film_and_weighing(answer, rule))
        for broken, but in of_child_broken(answer, rule, applies({}))
    )
    for kind in policy.dressings:
        for broken, but, by in _dressing_broken(answer, rule, kind):
            chosen = z3.And(answer.plans, answer.covers(kind))
            yield z3.And(chosen, applies({"dressing": kind}), broken), but, by


def _let_through(
    answer: SymbolicAnswer, rule: Requirement, applies: z3.BoolRef
) -> Iterator[tuple[z3.BoolRef, str, Led]]:
    """Yield that what must be barred is not, and may not be."""
    for item in rule.barred:
        broken = z3.And(applies, answer.clear(item))
        yield broken, f"nothing bars '{item}'", led.by_bars(answer, rule, item)


def _dressing_broken(
    answer: SymbolicAnswer, rule: Requirement, kind: str
) -> Iterator[tuple[z3.BoolRef, str, Led]]:
    """Yield how the choice or the stay of a dressing may break the requirement."""
    label = f"“{DRESSINGS[kind].lower()}”"
    if kind in rule.not_dressing or (rule.dressing and kind not in rule.dressing):
        yield YES, f"{label} is chosen", led.by_dressing(answer, rule, kind)
    if rule.task == "dressing":
        planned = {"dressing": kind}
        for broken, but in stay_broken(answer, rule, planned, label):
            yield broken, but, led.by_stay(answer, rule.task, planned)


def _plain(answer: SymbolicAnswer, number: str) -> float:
    return float(answer.book.value(number))  # type: ignore[arg-type]  # a plain number
