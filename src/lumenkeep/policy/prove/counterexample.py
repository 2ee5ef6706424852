"""Turn what the solver found into a case file that `lumenkeep plan` accepts.

The solver knows a span of calendar months only by its bounds. To show a child, its
birth is fixed to a day, each such span gets its true length from there, and the
solver is asked again.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import z3

from lumenkeep.model.quantities import DAYS_PER_WEEK
from lumenkeep.policy.prove.formulas import YES
from lumenkeep.policy.prove.pinned import pinned
from lumenkeep.policy.prove.written_case import Example, written_case

if TYPE_CHECKING:
    from lumenkeep.policy.prove.child import SymbolicChild

LIGHT, NOT_NEW, HEAVIER = 20_000, 400_000, 3000
"""Masses (g) and an age (min) that make an example easy to believe."""
BIRTHS = tuple(
    datetime(2025, month, day, hour, tzinfo=UTC)
    for month, day, hour in (
        (3, 3, 8),
        (1, 1, 0),
        (7, 1, 12),
        (12, 31, 8),
        (11, 30, 8),
        (2, 28, 0),
    )
)


def example(
    solver: z3.Solver, child: SymbolicChild, later: SymbolicChild | None = None
) -> Example | None:
    """Return a child from a satisfiable query; None if no birth day fits.

    Parameters
    ----------
    solver
        Holding the query, already found satisfiable.
    child
        The child of the query.
    later
        The same child at a later time, where the query speaks of two.
    """
    for born in BIRTHS:
        solver.push()
        for one in (child, later):
            if one is not None:
                solver.add(*pinned(one, born))
        found = None
        for wish in _wishes(child):
            solver.push()
            solver.add(wish)
            if solver.check() == z3.sat:
                found = written_case(solver.model(), child, later, born)
            solver.pop()
            if found is not None:
                break
        solver.pop()
        if found is not None:
            return found
    return None


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
