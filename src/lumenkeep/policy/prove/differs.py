"""That two policies answer a wholly known child differently, as one formula."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.policy.numbers import as_seconds, as_span
from lumenkeep.policy.prove.answers import SymbolicAnswer

if TYPE_CHECKING:
    from lumenkeep.policy.policy import RuleBook
    from lumenkeep.policy.prove.child import SymbolicChild
    from lumenkeep.policy.rules import Agent

NONE = -1


def differs(
    one: RuleBook, two: RuleBook, child: SymbolicChild
) -> dict[str, z3.BoolRef]:
    """Return that two sets differ, aspect by aspect.

    Parameters
    ----------
    one, two
        Rule books to compare.
    child
        A child with every limit of both; read as wholly known.

    Returns
    -------
    dict
        ``antiseptic``: verdict or agent; ``technique``: times or residue of an agent
        that both give; ``dressing``: kind or stay, where both have a plan.
    """
    a = SymbolicAnswer(one, child, narrow=False)
    b = SymbolicAnswer(two, child, narrow=False)
    agents = dict.fromkeys((*a.policy.antiseptics, *b.policy.antiseptics))
    kinds = dict.fromkeys((*a.policy.dressings, *b.policy.dressings))
    antiseptic, technique, dressing = [a.plans != b.plans, a.stops != b.stops], [], []
    for agent in agents:
        given_a, given_b = _gives(a, agent), _gives(b, agent)
        antiseptic.append(given_a != given_b)
        if agent in a.policy.antiseptics and agent in b.policy.antiseptics:
            otherwise = _used_otherwise(a, b, agent)
            technique.append(z3.And(given_a, given_b, otherwise))
    both = z3.And(a.plans, b.plans)
    for kind in kinds:
        chosen_a, chosen_b = _covers(a, kind), _covers(b, kind)
        dressing.append(z3.And(both, chosen_a != chosen_b))
        stays = _stay(a, kind) != _stay(b, kind)
        dressing.append(z3.And(both, chosen_a, chosen_b, stays))
    return {
        "antiseptic": z3.Or(antiseptic),
        "technique": z3.Or(technique),
        "dressing": z3.Or(dressing),
    }


def _gives(answer: SymbolicAnswer, agent: str) -> z3.BoolRef:
    known = agent in answer.policy.antiseptics
    return answer.gives(agent) if known else z3.BoolVal(val=False)


def _covers(answer: SymbolicAnswer, kind: str) -> z3.BoolRef:
    known = kind in answer.policy.dressings
    return answer.covers(kind) if known else z3.BoolVal(val=False)


def _used_otherwise(a: SymbolicAnswer, b: SymbolicAnswer, agent: str) -> z3.BoolRef:
    one, two = a.policy.agents[agent], b.policy.agents[agent]
    return z3.Or(
        _scrub(a, one) != _scrub(b, two),
        _dry(a, one) != _dry(b, two),
        z3.BoolVal(val=one.residue != two.residue),
    )


def _scrub(answer: SymbolicAnswer, agent: Agent) -> z3.ArithRef:
    base = NONE
    if agent.seconds_per_swab:
        swabs = int(answer.book.value(agent.swabs))  # type: ignore[arg-type]  # a count
        base = as_seconds(answer.book.value(agent.seconds_per_swab)) * swabs
    return _longest(answer, agent, base, "scrub")


def _dry(answer: SymbolicAnswer, agent: Agent) -> z3.ArithRef:
    return _longest(answer, agent, as_seconds(answer.book.value(agent.dry)), "dry")


def _longest(
    answer: SymbolicAnswer, agent: Agent, base: int, of_site: str
) -> z3.ArithRef:
    longest: z3.ArithRef = z3.IntVal(base)
    for position, live in enumerate(answer.book.site_rules):
        least = z3.IntVal(as_seconds(answer.book.value(getattr(live.rule, of_site))))
        counts = answer.site_rule_counts(position, agent.id)
        longest = z3.If(z3.And(counts, least > longest), least, longest)
    return longest


def _stay(answer: SymbolicAnswer, kind: str) -> z3.ArithRef:
    """Return the shortest stay that may count, in hours; -1 where there is no limit."""
    shortest: z3.ArithRef = z3.RealVal(NONE)
    for live, _, possibly in answer.active("dressing", {"dressing": kind}):
        if live.rule.not_after is None:
            continue
        stay = as_span(answer.book.value(live.rule.not_after))
        hours = z3.RealVal(str(stay.nominal_hours()))
        shorter = z3.Or(shortest == NONE, hours < shortest)
        shortest = z3.If(z3.And(possibly, shorter), hours, shortest)
    return shortest
