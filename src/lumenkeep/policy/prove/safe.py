"""Claims of safety: nothing barred is given, and nothing required is left out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.model.words import DRESSINGS, SENSITIVITIES, SET_KINDS, TOUCHES_SITE
from lumenkeep.policy.numbers import as_seconds, as_span
from lumenkeep.policy.prove import led
from lumenkeep.policy.prove.claims import Claim
from lumenkeep.policy.prove.formulas import NO, YES
from lumenkeep.policy.prove.of_child import of_child_broken
from lumenkeep.policy.prove.risk import no_risk_eases
from lumenkeep.policy.prove.worn import nothing_barred_stays_on
from lumenkeep.policy.read_rules import BATHS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lumenkeep.policy.policy import LiveRule
    from lumenkeep.policy.prove.answers import SymbolicAnswer
    from lumenkeep.policy.prove.led import Led
    from lumenkeep.policy.rules import Agent, Requirement, Rule


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
        for substance in TOUCHES_SITE[kind]:
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
    for broken, but, leading in _ways_to_break(answer, live):
        yield Claim(
            "safe",
            f"Required by {rule.source}: {rule.because.rstrip('.')}. But {but}.",
            broken,
            answer.child,
            (rule,),
            "mend the rules or numbers that lead here, or remove this requirement openly",
            led=leading,
        )


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
        yield broken, "another verdict is given", led.by_verdict(answer, rule)
    for agent in policy.antiseptics:
        given = z3.And(answer.gives(agent), applies({"agent": agent}))
        for broken, but, by in _agent_broken(answer, rule, agent):
            yield z3.And(given, broken), but, by
    if rule.staff_at_least:
        least = _plain(answer, rule.staff_at_least)
        few = [s for s in answer.book.staffing if _plain(answer, s.rule.staff) < least]
        alone = z3.Or([z3.Not(answer.rule(s).fails) for s in few])
        broken = z3.And(answer.plans, applies({}), alone)
        yield broken, "fewer people are planned", led.by_staff(answer)
    yield from _task_broken(answer, live)
    yield from (
        (broken, but, led.by_film_and_weighing(answer, rule))
        for broken, but in of_child_broken(answer, rule, applies({}))
    )
    for kind in policy.dressings:
        for broken, but, by in _dressing_broken(answer, rule, kind):
            chosen = z3.And(answer.plans, answer.covers(kind))
            yield z3.And(chosen, applies({"dressing": kind}), broken), but, by


def _agent_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str, Led]]:
    """Yield how the choice of an agent or its way may break the requirement."""
    for broken, but in _way_broken(answer, rule, agent):
        yield broken, but, led.by_agent(answer, rule, agent)
    for broken, but in _amounts_broken(answer, rule, agent):
        yield broken, but, led.by_times(answer, agent)


def _dressing_broken(
    answer: SymbolicAnswer, rule: Requirement, kind: str
) -> Iterator[tuple[z3.BoolRef, str, Led]]:
    """Yield how the choice or the stay of a dressing may break the requirement."""
    label = f"“{DRESSINGS[kind].lower()}”"
    if kind in rule.not_dressing or (rule.dressing and kind not in rule.dressing):
        yield YES, f"{label} is chosen", led.by_dressing(answer, rule, kind)
    if rule.task == "dressing":
        planned = {"dressing": kind}
        for broken, but in _stay_broken(answer, rule, planned, label):
            yield broken, but, led.by_stay(answer, rule.task, planned)


def _stay_broken(
    answer: SymbolicAnswer, rule: Requirement, planned: dict[str, str], label: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the window of the rule's task may break the requirement."""
    limits = [
        (possibly, as_span(answer.book.value(live.rule.not_after)).nominal_hours())
        for live, _, possibly in answer.active(rule.task, planned)
        if live.rule.not_after
    ]
    if rule.no_clock:
        yield z3.Or([possibly for possibly, _ in limits]), f"a clock runs for {label}"
    if rule.stays_at_most:
        most = as_span(answer.book.value(rule.stays_at_most)).nominal_hours()
        within = [possibly for possibly, hours in limits if hours <= most]
        yield z3.Not(z3.Or(within)), f"{label} may stay longer"
    if rule.rests_at_least:
        rest = as_span(answer.book.value(rule.rests_at_least)).nominal_hours()
        soon = [
            possibly
            for live, _, possibly in answer.active(rule.task, planned)
            if not live.rule.nothing_due and _hours(answer, live.rule.not_before) < rest
        ]
        yield z3.Or(soon), f"{label} may be changed sooner"
    if rule.stays_at_least:
        least = as_span(answer.book.value(rule.stays_at_least)).nominal_hours()
        short = [possibly for possibly, hours in limits if hours < least]
        yield z3.Or(short), f"{label} must go sooner"


def _hours(answer: SymbolicAnswer, number: str | None) -> float:
    """Return a time in hours; none at all where no number is named."""
    return as_span(answer.book.value(number)).nominal_hours() if number else 0


def _task_broken(
    answer: SymbolicAnswer, live: LiveRule[Requirement]
) -> Iterator[tuple[z3.BoolRef, str, Led]]:
    """Yield how what falls due on the line may break the requirement."""
    rule = live.rule
    if rule.at_once:
        held = [
            answer.rule(one).holds
            for one in answer.book.at_once
            if one.rule.task == rule.task
        ]
        broken = z3.And(answer.rule(live).holds, z3.Not(z3.Or(held)))
        but = f"the task {rule.task} is not due at once"
        yield broken, but, led.by_at_once(answer, rule)
    for planned, label in _of_each_kind(rule.task):
        three = answer.rule(live, planned)
        applies = three.holds if rule.if_charted else three.really
        for broken, but in _stay_broken(answer, rule, planned, label):
            by = led.by_stay(answer, rule.task, planned)
            yield z3.And(applies, broken), but, by


def _of_each_kind(task: str) -> list[tuple[dict[str, str], str]]:
    """Return each thing that a task may be about: also what no set itself would use."""
    if task == "dressing":
        return [
            ({"dressing": kind}, f"“{words.lower()}”")
            for kind, words in DRESSINGS.items()
        ]
    if task == "set":
        return [({"set_kind": kind}, f"a set ({kind})") for kind in SET_KINDS]
    return [({}, f"the task {task}")]


def _way_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the agent's way may break the requirement."""
    used = answer.policy.agents[agent]
    if agent in rule.not_agent or (rule.agent and agent not in rule.agent):
        yield YES, f"'{agent}' is given"
    if rule.residue_removed and not (used.residue and used.residue_words):
        yield YES, f"'{agent}' is left on the skin"


def _amounts_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the swabs and seconds of the agent's way may break the requirement."""
    used = answer.policy.agents[agent]
    if rule.swabs_at_least and _plain(answer, used.swabs) < _plain(
        answer, rule.swabs_at_least
    ):
        yield YES, f"'{agent}' is used with fewer swabs"
    yield from _times_broken(answer, rule, agent)


def _times_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the seconds of the agent's way may break the requirement."""
    used, each = answer.policy.agents[agent], 0
    if used.seconds_per_swab:
        each = as_seconds(answer.book.value(used.seconds_per_swab))
    scrub = each * int(_plain(answer, used.swabs))
    if rule.scrub_at_least:
        least = as_seconds(answer.book.value(rule.scrub_at_least))
        enough = _seconds(answer, agent, "scrub", scrub, lambda s: s >= least)
        spared = _spared(answer, agent, least)
        yield (
            z3.Not(z3.Or(enough, spared)),
            f"'{agent}' is scrubbed for less than {least} s",
        )
    if rule.scrub_at_most:
        most = as_seconds(answer.book.value(rule.scrub_at_most))
        longest = max(most, scrub)
        longer = _seconds(answer, agent, "scrub", scrub, lambda s: s > longest)
        yield longer, f"'{agent}' is scrubbed for more than {most} s"
    if rule.dry_at_least:
        least = as_seconds(answer.book.value(rule.dry_at_least))
        base = as_seconds(answer.book.value(used.dry))
        enough = _seconds(answer, agent, "dry", base, lambda s: s >= least)
        yield z3.Not(enough), f"'{agent}' is dried for less than {least} s"


def _seconds(
    answer: SymbolicAnswer,
    agent: str,
    of_site: str,
    base: int,
    fits: Callable[[int], bool],
) -> z3.BoolRef:
    """Return that the agent's own seconds fit, or those of a site rule that counts."""
    if fits(base):
        return YES
    counting = [
        answer.site_rule_counts(position, agent)
        for position, live in enumerate(answer.book.site_rules)
        if fits(as_seconds(answer.book.value(getattr(live.rule, of_site))))
    ]
    return z3.Or(counting or [NO])


def _spared(answer: SymbolicAnswer, agent: str, least: int) -> z3.BoolRef:
    """Return that another requirement keeps the scrub shorter than ``least``."""
    shorter = [
        answer.rule(live, {"agent": agent}).really
        for live in answer.book.requirements
        if live.rule.scrub_at_most
        and as_seconds(answer.book.value(live.rule.scrub_at_most)) < least
    ]
    return z3.Or(shorter or [NO])


def _plain(answer: SymbolicAnswer, number: str) -> float:
    return float(answer.book.value(number))  # type: ignore[arg-type]  # a plain number
