"""Claims of consistency: every rule that the set itself states decides for somebody."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.words import DRESSINGS, SET_KINDS
from lumenkeep.core.policy.read_rules import BATHS
from lumenkeep.core.policy.solver.claims import Claim
from lumenkeep.core.policy.solver.formulas import NO

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.rules import Rule
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer

NARROW = "widen its conditions, narrow the rule that hides it, or take it out"


def consistent(answer: SymbolicAnswer) -> Iterator[Claim]:
    """Yield the claims that no rule is dead and none hidden by another."""
    yield from _exclusions(answer)
    yield from _referrals(answer)
    yield from _options(answer)
    yield from _intervals(answer)
    for position, live in enumerate(answer.book.site_rules):
        del position
        yield _lively(answer, answer.rule(live).holds, live.rule, "never holds")
    for group in (answer.book.notes, answer.book.supplies, answer.book.at_once):
        for one in group:
            if _is_own(answer, one.rule):
                yield _lively(
                    answer, _in_some_plan(answer, one), one.rule, "never shows"
                )


def _is_own(answer: SymbolicAnswer, rule: Rule) -> bool:
    """Return whether the set itself states the rule, rather than one it extends."""
    return rule.where.startswith(f"{answer.policy.folder}/")


def _lively(answer: SymbolicAnswer, query: z3.BoolRef, rule: Rule, fault: str) -> Claim:
    return Claim(
        "consistent",
        f"Rule '{rule.id}' {fault}.",
        query,
        answer.child,
        (rule,),
        NARROW,
        lively=True,
    )


def _exclusions(answer: SymbolicAnswer) -> Iterator[Claim]:
    agents = answer.policy.antiseptics
    offered = {*agents, *DRESSINGS, *BATHS}  # any dressing may be worn already
    known = answer.child.is_wholly_known()
    for position, live in enumerate(answer.book.exclusions):
        items = [item for item in live.rule.bars if item in offered]
        decides = []
        for item in items:
            others = [
                answer.exclusions[i].holds
                for i, e in enumerate(answer.book.exclusions)
                if i != position and item in e.rule.bars
            ]
            if item in agents:
                others.append(answer.refers)
            decides.append(z3.Not(z3.Or(others)))
        alone = z3.And(known, answer.exclusions[position].holds, z3.Or(decides))
        if items or _is_own(answer, live.rule):
            query = alone if items else NO
            yield _lively(
                answer, query, live.rule, "never decides: another always does"
            )


def _referrals(answer: SymbolicAnswer) -> Iterator[Claim]:
    known = answer.child.is_wholly_known()
    for position, live in enumerate(answer.book.referrals):
        others = [r.holds for i, r in enumerate(answer.referrals) if i != position]
        every = z3.And([answer.barred(a) for a in answer.policy.antiseptics])
        query = z3.And(
            known,
            answer.referrals[position].holds,
            z3.Not(z3.Or(others)),
            z3.Not(every),
        )
        yield _lively(answer, query, live.rule, "never decides: another always does")


def _options(answer: SymbolicAnswer) -> Iterator[Claim]:
    policy = answer.policy
    for agent in policy.antiseptics:
        yield _lively(
            answer,
            answer.gives(agent),
            policy.agents[agent],
            "is an antiseptic that no child is ever given",
        )
    for kind in policy.dressings:
        yield Claim(
            "consistent",
            f"“{DRESSINGS[kind]}” stands in the order, but no child is ever given it.",
            z3.And(answer.plans, answer.covers(kind)),
            answer.child,
            (),
            "take it out of set.dressings, or let something bar what stands before it",
            lively=True,
        )


def _intervals(answer: SymbolicAnswer) -> Iterator[Claim]:
    for live in answer.book.intervals:
        contexts: list[dict[str, str]] = [{}]
        if live.rule.task == "dressing":
            contexts = [{"dressing": kind} for kind in DRESSINGS]
        elif live.rule.task == "set":
            contexts = [{"set_kind": kind} for kind in SET_KINDS]
        counts = [
            surely
            for context in contexts
            for one, surely, _ in answer.active(live.rule.task, context)
            if one is live
        ]
        yield _lively(answer, z3.Or(counts), live.rule, "never counts")


def _in_some_plan(answer: SymbolicAnswer, live: object) -> z3.BoolRef:
    shown = [
        z3.And(
            answer.gives(agent),
            answer.covers(kind),
            answer.rule(live, {"agent": agent, "dressing": kind}).holds,  # type: ignore[arg-type]  # any live rule
        )
        for agent in answer.policy.antiseptics
        for kind in answer.policy.dressings
    ]
    return z3.Or(shown)
