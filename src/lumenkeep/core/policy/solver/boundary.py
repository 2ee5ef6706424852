"""Children that the solver picks on both sides of every limit, in every region.

Each comes with the answer that the formulas give, so that the planner's can be held
against it. The same children make a policy's review suite.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.policy.solver.answers import SymbolicAnswer
from lumenkeep.core.policy.solver.counterexample import example
from lumenkeep.core.policy.solver.epoch import Epoch, epochs_from
from lumenkeep.core.policy.solver.written_case import Example
from lumenkeep.errors import NoRuleError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from lumenkeep.core.policy.conditions import LiveComparison
    from lumenkeep.core.policy.policy import Policy

ONE_GRAM, ONE_DAY, ONE_MINUTE = 1, 1, 1
MOST_TRIED = 1500
"""Pairs of side and region that are all tried; of more, a share."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What the formulas answer: verdict, antiseptic, agent until known, dressing."""

    verdict: str
    agent: str | None
    until_known: str | None
    dressing: str | None


@dataclass(frozen=True, slots=True)
class BoundaryCase:
    """A child next to a limit, and the answer expected.

    ``side`` says which limit, and on which side the child stands.
    """

    side: str
    shown: Example
    expected: Expected


def regions(answer: SymbolicAnswer) -> Iterator[tuple[Expected, z3.BoolRef]]:
    """Yield every combination of verdict, antiseptic and dressing with its formula."""
    policy = answer.policy
    covers: list[tuple[str | None, z3.BoolRef]] = [
        (d, answer.covers(d)) for d in policy.dressings
    ]
    covers.append((None, z3.Not(z3.Or([formula for _, formula in covers]))))
    for agent in policy.antiseptics:
        for dressing, covering in covers:
            yield (
                Expected("plan", agent, None, dressing),
                z3.And(answer.gives(agent), covering),
            )
    keeps: list[tuple[str | None, z3.BoolRef]] = [
        (a, answer.keeps_to(a)) for a in policy.antiseptics
    ]
    keeps.append((None, z3.Not(z3.Or([formula for _, formula in keeps]))))
    for until, keeping in keeps:
        for dressing, covering in covers:
            yield (
                Expected("ask", None, until, dressing),
                z3.And(answer.asks, keeping, covering),
            )
    yield Expected("stop", None, None, None), answer.stops


def boundary_cases(policy: Policy, day: date) -> Iterator[BoundaryCase]:
    """Yield a child for each region and each side of each limit, where there is one.

    A policy of very many limits has each side tried in a share of the regions, and in
    the others only until one child stands on it.

    Parameters
    ----------
    policy
        The set.
    day
        From this day on every value counts, those of later days too.
    """
    for epoch in epochs_from(day, policy):
        try:
            answer = SymbolicAnswer(policy.on(epoch.day))
        except NoRuleError:
            continue  # told by the proof that the set is not complete
        yield from _in_epoch(answer, epoch)


def _in_epoch(answer: SymbolicAnswer, epoch: Epoch) -> Iterator[BoundaryCase]:
    solver = z3.Solver()
    solver.add(*answer.child.assumptions, answer.child.of_this_world)
    sides = list(enumerate(_sides(answer)))
    found = [one for one in regions(answer) if _is_somewhere(solver, one[1])]
    every = -(-len(sides) * len(found) // MOST_TRIED)
    stood_on: set[int] = set()
    for is_first in (True, False):
        for place, (expected, formula) in enumerate(found):
            if is_first:
                tried = [s for s in sides if (s[0] + place) % every == 0]
            else:
                tried = [s for s in sides if s[0] not in stood_on and every > 1]
            solver.push()
            solver.add(formula)
            for number, shown in _children(answer, solver, tried, epoch):
                stood_on.add(number)
                yield BoundaryCase(sides[number][1][0], shown, expected)
            solver.pop()


def _is_somewhere(solver: z3.Solver, formula: z3.BoolRef) -> bool:
    solver.push()
    solver.add(formula)
    found = solver.check()
    solver.pop()
    return bool(found == z3.sat)


def _children(
    answer: SymbolicAnswer,
    solver: z3.Solver,
    sides: list[tuple[int, tuple[str, z3.BoolRef]]],
    epoch: Epoch,
) -> Iterator[tuple[int, Example]]:
    """Yield a child of the solver's region for each side that it can stand on."""
    for number, (_, standing) in sides:
        solver.push()
        solver.add(standing)
        shown = None
        if solver.check() == z3.sat:
            shown = example(solver, answer.child, epoch)
        solver.pop()
        if shown is not None:
            yield number, shown


def _sides(answer: SymbolicAnswer) -> Iterator[tuple[str, z3.BoolRef]]:
    """Yield what it means to stand just on either side of each limit, known or not."""
    child = answer.child
    yield "everything known", child.is_wholly_known()
    yield "age unknown", z3.Not(child.age_known)
    yield "gestation unknown", z3.Not(child.gestation_known)
    yield "mass unknown", z3.Not(child.mass_known)
    yield "weeks of gestation only", child.gestation_high > child.gestation_low
    yield (
        "time of birth unknown",
        z3.And(child.age_known, child.age_high > child.age_low),
    )
    for fact, known in child.set_known.items():
        yield f"{fact} unknown", z3.Not(known)
    for fact, code in child.choice_known.items():
        yield f"{fact} unknown", code == -1
    seen = set()
    for live in (*answer.book.exclusions, *answer.book.referrals):
        for row in live.when.rows:
            for c in row:
                if (c.fact, c.limit) not in seen and not isinstance(c.limit, frozenset):
                    seen.add((c.fact, c.limit))
                    yield from _both_sides(answer, c)


def _both_sides(
    answer: SymbolicAnswer, c: LiveComparison
) -> Iterator[tuple[str, z3.BoolRef]]:
    child, name = answer.child, f"{c.fact} {c.number}"
    exact = child.age_low == child.age_high
    if isinstance(c.limit, CalendarSpan):
        surely, possibly, _ = child.calendar[c.limit]
        yield f"{name}: reached", z3.And(child.age_known, exact, surely)
        yield f"{name}: not reached", z3.And(child.age_known, exact, z3.Not(possibly))
        yield f"{name}: open", z3.And(child.age_known, possibly, z3.Not(surely))
        return
    if isinstance(c.limit, Elapsed):
        limit = z3.Q(c.limit.seconds, 60)
        known = z3.And(child.age_known, exact)
        yield f"{name}: on it", z3.And(known, child.age_low == limit)
        yield (
            f"{name}: a minute short",
            z3.And(known, child.age_low == limit - ONE_MINUTE),
        )
        yield (
            f"{name}: open",
            z3.And(child.age_known, child.age_low < limit, child.age_high >= limit),
        )
        return
    value, known, step = {
        "gestation_at_birth": (
            child.gestation_low,
            z3.And(child.gestation_known, child.gestation_low == child.gestation_high),
            ONE_DAY,
        ),
        "mass": (child.mass, child.mass_known, ONE_GRAM),
        "lumens": (child.lumens_known, child.lumens_known >= 0, 1),
    }.get(c.fact, (None, None, None))
    if value is not None:
        limit = z3.RealVal(str(c.limit))
        yield f"{name}: on it", z3.And(known, value == limit)
        yield f"{name}: one short", z3.And(known, value == limit - step)
        yield f"{name}: one over", z3.And(known, value == limit + step)
