"""Turn what the solver found into a case file that `lumenkeep plan` accepts.

The solver knows a span of calendar months only by its bounds. To show a child, its
birth is fixed to a day, each such span gets its true length from there, and the
solver is asked again.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.quantities import DAYS_PER_WEEK
from lumenkeep.core.policy.solver.formulas import YES
from lumenkeep.core.policy.solver.ordinary_child import wishes
from lumenkeep.core.policy.solver.pinned import minutes_of, pinned
from lumenkeep.core.policy.solver.written_case import Example, written_case

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from lumenkeep.core.policy.solver.child import SymbolicChild
    from lumenkeep.core.policy.solver.epoch import Epoch

    Found = tuple[Example, z3.ModelRef]
    Choose = Callable[[z3.Solver, SymbolicChild], z3.ModelRef | None]

LIGHT, NOT_NEW, HEAVIER = 20_000, 400_000, 3000
"""Masses (g) and an age (min) that make an example easy to believe."""


def example(solver: z3.Solver, child: SymbolicChild, epoch: Epoch) -> Example | None:
    """Return a child from a satisfiable query; None if no birth day fits.

    Parameters
    ----------
    solver
        Holding the query, already found satisfiable.
    child
        The child of the query.
    epoch
        The stretch of days in which the child is asked about.
    """
    found = _shown(solver, child, None, epoch, _plainest)
    return found[0] if found else None


def ordinary(
    solver: z3.Solver,
    child: SymbolicChild,
    epoch: Epoch,
    *,
    later: SymbolicChild | None = None,
    rather: z3.BoolRef | None = None,
) -> Found | None:
    """Return the most ordinary child of a satisfiable query, and the solver's model.

    For whoever reads a breach: with as few facts as can be off what a ward sees every
    day. The solver is asked a fixed small number of times more.

    Parameters
    ----------
    later
        The same child at a later time, where the query speaks of two.
    rather
        What is wished before all that is ordinary.
    """
    choose = partial(_most_wishes, first=[] if rather is None else [[rather]])
    return _shown(solver, child, later, epoch, choose)


def _shown(
    solver: z3.Solver,
    child: SymbolicChild,
    later: SymbolicChild | None,
    epoch: Epoch,
    choose: Choose,
) -> Found | None:
    for born in epoch.births():
        solver.push()
        solver.add(
            child.once(("inside", born, epoch), partial(_inside, child, born, epoch))
        )
        for one in (child, later):
            if one is not None:
                solver.add(one.once(("pinned", born), partial(_pinned, one, born)))
        model = choose(solver, child)
        solver.pop()
        if model is not None:
            return written_case(model, child, later, born), model
    return None


def _plainest(solver: z3.Solver, child: SymbolicChild) -> z3.ModelRef | None:
    """Return the model that fulfils most of what makes one easy to read.

    Most often the best can be had at once, so that is asked first.
    """
    for wish in child.once("plain", partial(_plain, child)):
        found = _model_with(solver, wish)
        if found is not None:
            return found
    return None


def _most_wishes(
    solver: z3.Solver, child: SymbolicChild, first: list[list[z3.BoolRef]]
) -> z3.ModelRef | None:
    """Return a model that fulfils the wishes in order, each as long as it can be."""
    best = _model_with(solver, YES)
    if best is None:
        return None
    for group in (*first, *wishes(child)):
        found = _model_with(solver, z3.And(group))
        if found is not None:
            solver.add(*group)
            best = found
            continue
        for wish in group if len(group) > 1 else ():
            found = _model_with(solver, wish)
            if found is not None:
                solver.add(wish)
                best = found
    return best


def _model_with(solver: z3.Solver, wish: z3.BoolRef) -> z3.ModelRef | None:
    solver.push()
    solver.add(wish)
    found = solver.model() if solver.check() == z3.sat else None
    solver.pop()
    return found


def _pinned(child: SymbolicChild, born: datetime) -> z3.BoolRef:
    return z3.And(list(pinned(child, born)))


def _inside(child: SymbolicChild, born: datetime, epoch: Epoch) -> z3.BoolRef:
    """Return that a child born then is asked about inside the stretch."""
    late = child.age_high >= minutes_of(epoch.start - born)
    if epoch.end is None:
        return late
    return z3.And(late, child.age_high < minutes_of(epoch.end - born))


def _plain(child: SymbolicChild) -> list[z3.BoolRef]:
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
