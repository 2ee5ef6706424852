"""That two policies answer a wholly known child differently, as one formula."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import z3

from lumenkeep.core.policy.numbers import as_seconds, as_span
from lumenkeep.core.policy.solver.answers import SymbolicAnswer

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.policy.policy import RuleBook
    from lumenkeep.core.policy.rules import Agent
    from lumenkeep.core.policy.solver.child import SymbolicChild

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
        ``antiseptic``: verdict or agent; ``technique``: how an agent that both give is
        used; ``dressing``: kind or stay, where both have a plan.
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
        _area(a, one.area_low, "area_low", least=True)
        != _area(b, two.area_low, "area_low", least=True),
        _area(a, one.area_high, "area_high", least=False)
        != _area(b, two.area_high, "area_high", least=False),
        z3.BoolVal(val=_always(a, one) != _always(b, two)),
    )


def _always(answer: SymbolicAnswer, agent: Agent) -> tuple[object, ...]:
    """Return what of an agent's use is the same for every child."""
    strength = answer.book.value(agent.strength) if agent.strength else None
    swabs = answer.book.value(agent.swabs)
    return agent.residue, agent.motion, strength, swabs


def _area(
    answer: SymbolicAnswer, own: str, of_film: str, *, least: bool
) -> z3.ArithRef:
    """Return an end of the skin cleaned: that of the films that suit, or the agent's."""
    found: z3.ArithRef = z3.RealVal(NONE)
    for live in answer.book.films:
        mm = z3.RealVal(str(answer.book.value(getattr(live.rule, of_film))))
        further = mm < found if least else mm > found
        counts = z3.And(answer.rule(live).holds, z3.Or(found == NONE, further))
        found = z3.If(counts, mm, found)
    return z3.If(found == NONE, z3.RealVal(str(answer.book.value(own))), found)


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


def window_differs(
    one: RuleBook,
    two: RuleBook,
    child: SymbolicChild,
    task: str,
    planned: Mapping[str, str],
) -> z3.BoolRef:
    """Return that two sets give a task other times.

    Parameters
    ----------
    task
        Which task.
    planned
        What lies on or hangs there, as facts of the plan.
    """
    sides = [
        _window(SymbolicAnswer(book, child, narrow=False), task, planned)
        for book in (one, two)
    ]
    return z3.Or([a != b for a, b in zip(*sides, strict=True)])


def _window(
    answer: SymbolicAnswer, task: str, planned: Mapping[str, str]
) -> tuple[Any, ...]:
    """Return which kind of answer there is, and its two times in hours."""
    active = answer.active(task, planned)
    timed = [(live, may) for live, _, may in active if not live.rule.nothing_due]
    is_due = z3.Or([may for _, may in timed])
    is_told = z3.Or([may for _, _, may in active])
    before = _hours(answer, [(r.rule.not_before, may) for r, may in timed])
    after = _hours(answer, [(r.rule.not_after, may) for r, may in timed])
    return is_told, is_due, before, after


def _hours(
    answer: SymbolicAnswer, numbers: Sequence[tuple[str | None, z3.BoolRef]]
) -> z3.ArithRef:
    found: z3.ArithRef = z3.RealVal(NONE)
    for number, may in numbers:
        if number is not None:
            hours = z3.RealVal(str(as_span(answer.book.value(number)).nominal_hours()))
            found = z3.If(
                z3.And(may, z3.Or(found == NONE, hours < found)), hours, found
            )
    return found
