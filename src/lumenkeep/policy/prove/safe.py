"""Claims of safety: nothing barred is given, and nothing required is left out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.model.words import DRESSINGS, SET_KINDS
from lumenkeep.policy.numbers import as_seconds, as_span
from lumenkeep.policy.prove.claims import Claim
from lumenkeep.policy.prove.formulas import NO, YES
from lumenkeep.policy.read_rules import BATHS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.policy.policy import LiveRule
    from lumenkeep.policy.prove.answers import SymbolicAnswer
    from lumenkeep.policy.rules import Agent, Requirement, Rule


def safe(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield the claims that nobody comes to harm by following the set."""
    yield from _nothing_barred(answer)
    yield from _what_is_in_it(answer)
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
        if "chg" not in kind.split("-"):
            continue
        yield Claim(
            "safe",
            f"“{DRESSINGS[kind]}” is chosen for a child who does not tolerate "
            "chlorhexidine.",
            z3.And(answer.covers(kind), known, has),
            answer.child,
            _barring(answer, kind),
            f"let the allergy's rule bar '{kind}' too",
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
    for broken, but in _ways_to_break(answer, live):
        yield Claim(
            "safe",
            f"Required by {rule.source}: {rule.because.rstrip('.')}. But {but}.",
            broken,
            answer.child,
            (rule,),
            "mend the rules or numbers that lead here, or remove this requirement openly",
        )


def _ways_to_break(
    answer: SymbolicAnswer, live: LiveRule[Requirement]
) -> Iterator[tuple[z3.BoolRef, str]]:
    rule, policy = live.rule, answer.policy

    def applies(planned: dict[str, str | None]) -> z3.BoolRef:
        three = answer.rule(live, planned)
        return three.holds if rule.if_charted else three.really

    if rule.verdict:
        words = {"plan": answer.plans, "ask": answer.asks, "stop": answer.stops}
        right = z3.Or([words[word] for word in rule.verdict])
        yield z3.And(applies({}), z3.Not(right)), "another verdict is given"
    for agent in policy.antiseptics:
        given = z3.And(answer.gives(agent), applies({"agent": agent}))
        for broken, but in _way_broken(answer, rule, agent):
            yield z3.And(given, broken), but
    if rule.staff_at_least:
        least = _plain(answer, rule.staff_at_least)
        few = [s for s in answer.book.staffing if _plain(answer, s.rule.staff) < least]
        alone = z3.Or([z3.Not(answer.rule(s).fails) for s in few])
        yield z3.And(answer.plans, applies({}), alone), "fewer people are planned"
    yield from _task_broken(answer, live)
    for kind in policy.dressings:
        planned: dict[str, str | None] = {"dressing": kind}
        chosen = z3.And(answer.plans, answer.covers(kind), applies(planned))
        for broken, but in _cover_broken(answer, rule, kind):
            yield z3.And(chosen, broken), but


def _cover_broken(
    answer: SymbolicAnswer, rule: Requirement, kind: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the choice or the stay of a dressing may break the requirement."""
    label = f"“{DRESSINGS[kind].lower()}”"
    if kind in rule.not_dressing or (rule.dressing and kind not in rule.dressing):
        yield YES, f"{label} is chosen"
    if rule.task == "dressing":
        yield from _stay_broken(answer, rule, {"dressing": kind}, label)


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
    if rule.stays_at_least:
        least = as_span(answer.book.value(rule.stays_at_least)).nominal_hours()
        short = [possibly for possibly, hours in limits if hours < least]
        yield z3.Or(short), f"{label} must go sooner"


def _task_broken(
    answer: SymbolicAnswer, live: LiveRule[Requirement]
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how what falls due on the line may break the requirement."""
    rule = live.rule
    if rule.at_once:
        held = [
            answer.rule(one).holds
            for one in answer.book.at_once
            if one.rule.task == rule.task
        ]
        broken = z3.And(answer.rule(live).holds, z3.Not(z3.Or(held)))
        yield broken, f"the task {rule.task} is not due at once"
    if rule.task == "dressing":
        return
    kinds = SET_KINDS if rule.task == "set" else ("",)
    for kind in kinds:
        planned = {"set_kind": kind} if kind else {}
        three = answer.rule(live, planned)
        applies = three.holds if rule.if_charted else three.really
        label = f"the task {rule.task}" + (f" ({kind})" if kind else "")
        for broken, but in _stay_broken(answer, rule, planned, label):
            yield z3.And(applies, broken), but


def _way_broken(
    answer: SymbolicAnswer, rule: Requirement, agent: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the agent's way may break the requirement."""
    book, used = answer.book, answer.policy.agents[agent]
    if agent in rule.not_agent or (rule.agent and agent not in rule.agent):
        yield YES, f"'{agent}' is given"
    if rule.residue_removed and not (used.residue and used.residue_words):
        yield YES, f"'{agent}' is left on the skin"
    if rule.swabs_at_least and _plain(answer, used.swabs) < _plain(
        answer, rule.swabs_at_least
    ):
        yield YES, f"'{agent}' is used with fewer swabs"
    counts = [
        answer.site_rule_counts(position, agent)
        for position in range(len(book.site_rules))
    ]
    swabs = int(_plain(answer, used.swabs))
    each = (
        as_seconds(answer.book.value(used.seconds_per_swab))
        if used.seconds_per_swab
        else 0
    )
    for key, base, of_site in (
        (rule.scrub_at_least, each * swabs, "scrub"),
        (rule.dry_at_least, as_seconds(answer.book.value(used.dry)), "dry"),
    ):
        if key is None:
            continue
        least = as_seconds(answer.book.value(key))
        if base >= least:
            continue
        enough = z3.Or(
            [
                counting
                for counting, s in zip(counts, book.site_rules, strict=True)
                if as_seconds(answer.book.value(getattr(s.rule, of_site))) >= least
            ]
            or [NO]
        )
        words = "scrubbed" if of_site == "scrub" else "dried"
        yield z3.Not(enough), f"'{agent}' is {words} for less than {least} s"


def _plain(answer: SymbolicAnswer, number: str) -> float:
    return float(answer.book.value(number))  # type: ignore[arg-type]  # a plain number
