"""Turn what the solver found into a case file that `lumenkeep plan` accepts.

The solver knows a span of calendar months only by its bounds. To show a child, its
birth is fixed to a day, each such span gets its true length from there, and the
solver is asked again.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import z3

from lumenkeep.model.quantities import DAYS_PER_WEEK, SECONDS_PER_MINUTE
from lumenkeep.policy.prove.child import MINUTES_PER_DAY, SymbolicChild
from lumenkeep.policy.prove.formulas import YES
from lumenkeep.policy.prove.written_case import Example, written_case

if TYPE_CHECKING:
    from collections.abc import Iterator

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
                solver.add(*_pinned(one, born))
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


def _pinned(child: SymbolicChild, born: datetime) -> Iterator[z3.BoolRef]:
    """Yield that the child was born then: every calendar span has its true length."""
    width = child.age_high - child.age_low
    yield z3.IsInt(child.age_low)
    yield z3.IsInt(child.age)
    yield z3.Or(width == 0, width == MINUTES_PER_DAY)
    at_midnight = born.hour == 0
    if not at_midnight:
        yield width == 0
    for span, (surely, possibly, really) in child.calendar.items():
        early = _minutes(span.after(born, UTC) - born)
        next_day = born + timedelta(days=1)
        late = _minutes(span.after(next_day, UTC) - next_day)
        yield surely == z3.If(width == 0, child.age_low >= early, child.age_low >= late)
        yield possibly == (child.age_high >= early)
        yield z3.Implies(width == 0, really == (child.age >= early))


def _minutes(length: timedelta) -> int:
    return int(length.total_seconds()) // SECONDS_PER_MINUTE
