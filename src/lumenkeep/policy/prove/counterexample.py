"""Turn what the solver found into a case file that `lumenkeep plan` accepts.

The solver knows a span of calendar months only by its bounds. To show a child, its
birth is fixed to a day, each such span gets its true length from there, and the
solver is asked again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.model.quantities import DAYS_PER_WEEK
from lumenkeep.policy.prove.formulas import YES
from lumenkeep.policy.prove.pinned import minutes_of, pinned
from lumenkeep.policy.prove.written_case import Example, written_case

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from lumenkeep.policy.prove.child import SymbolicChild
    from lumenkeep.policy.prove.epoch import Epoch

LIGHT, NOT_NEW, HEAVIER = 20_000, 400_000, 3000
"""Masses (g) and an age (min) that make an example easy to believe."""


def example(
    solver: z3.Solver,
    child: SymbolicChild,
    epoch: Epoch,
    later: SymbolicChild | None = None,
) -> Example | None:
    """Return a child from a satisfiable query; None if no birth day fits.

    Parameters
    ----------
    solver
        Holding the query, already found satisfiable.
    child
        The child of the query.
    epoch
        The stretch of days in which the child is asked about.
    later
        The same child at a later time, where the query speaks of two.
    """
    for born in epoch.births():
        solver.push()
        solver.add(*_inside(child, born, epoch))
        found = None
        if solver.check() == z3.sat:
            for one in (child, later):
                if one is not None:
                    solver.add(*pinned(one, born))
            if solver.check() == z3.sat:
                found = _plainest(solver, child, later, born)
        solver.pop()
        if found is not None:
            return found
    return None


def _plainest(
    solver: z3.Solver,
    child: SymbolicChild,
    later: SymbolicChild | None,
    born: datetime,
) -> Example | None:
    """Return the example that fulfils most of what makes one easy to read."""
    found = None
    for wish in _wishes(child):
        solver.push()
        solver.add(wish)
        if solver.check() == z3.sat:
            found = written_case(solver.model(), child, later, born)
        solver.pop()
        if found is not None:
            break
    return found


def _inside(child: SymbolicChild, born: datetime, epoch: Epoch) -> Iterator[z3.BoolRef]:
    """Yield that a child born then is asked about inside the stretch."""
    yield child.age_high >= minutes_of(epoch.start - born)
    if epoch.end is not None:
        yield child.age_high < minutes_of(epoch.end - born)


def _wishes(child: SymbolicChild) -> list[z3.BoolRef]:
    """Return what makes an example easy to read, from the most to the least wished."""
    plain = [
        z3.IsInt(child.mass),
        child.set_known["findings"],
        *(z3.Not(found) for found in child.members["findings"].values()),
    ]
    term = z3.Or(
        child.gestation_low >= 37 * DAYS_PER_WEEK, z3.Not(child.gestation_known)
    )
    light = z3.And(
        child.mass <= LIGHT, z3.Implies(child.age > NOT_NEW, child.mass > HEAVIER)
    )
    return [
        z3.And(*plain, term, light),
        z3.And(*plain, light),
        z3.And(*plain),
        plain[0],
        YES,
    ]
