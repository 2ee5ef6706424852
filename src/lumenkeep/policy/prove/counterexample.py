"""Turn what the solver found into a case file that `lumenkeep plan` accepts.

The solver knows a span of calendar months only by its bounds. To show a child, its
birth is fixed to a day, each such span gets its true length from there, and the
solver is asked again.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import z3

from lumenkeep.model import weeks_and_days
from lumenkeep.model.quantities import DAYS_PER_WEEK, SECONDS_PER_MINUTE, whole_or_not
from lumenkeep.policy.prove.child import (
    CHOICES,
    LUMENS,
    MINUTES_PER_DAY,
    UNKNOWN,
    SymbolicChild,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

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


@dataclass(frozen=True, slots=True)
class Example:
    """A child that shows something: a case, and the instant to ask about (ISO).

    ``later`` is a second instant for what changes as the child grows.
    """

    case: dict[str, Any]
    at: str
    later: str | None = None


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
                found = _written(solver.model(), child, later, born)
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
    term = z3.Or(child.gestation_low >= 37 * DAYS_PER_WEEK, z3.Not(child.gestation_known))
    light = z3.And(child.mass <= 20_000, z3.Implies(child.age > 400_000, child.mass > 3000))
    return [
        z3.And(*plain, term, light),
        z3.And(*plain, light),
        z3.And(*plain),
        plain[0],
        z3.BoolVal(True),
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
        yield surely == z3.If(
            width == 0, child.age_low >= early, child.age_low >= late
        )
        yield possibly == (child.age_high >= early)
        yield z3.Implies(width == 0, really == (child.age >= early))


def _minutes(length: timedelta) -> int:
    return int(length.total_seconds()) // SECONDS_PER_MINUTE


def _written(
    model: z3.ModelRef,
    child: SymbolicChild,
    later: SymbolicChild | None,
    born: datetime,
) -> Example:
    def value(term: Any) -> Any:
        return model.eval(term, model_completion=True)

    def number(term: Any) -> float | int:
        found = value(term)
        if z3.is_int_value(found):
            return int(found.as_long())
        return whole_or_not(float(found.numerator_as_long()) / found.denominator_as_long())

    def yes(term: Any) -> bool:
        return z3.is_true(value(term))

    age_high = int(number(child.age_high))
    exact = number(child.age_low) == age_high
    at = born + timedelta(minutes=age_high)
    who: dict[str, Any] = {}
    if yes(child.age_known):
        who["born"] = born.isoformat() if exact else born.date().isoformat()
    else:
        at = born + timedelta(days=1)
    if yes(child.gestation_known):
        low, high = int(number(child.gestation_low)), int(number(child.gestation_high))
        weeks = low // DAYS_PER_WEEK
        who["gestation_at_birth"] = weeks_and_days(low) if low == high else f"{weeks}w"
    if yes(child.mass_known):
        who["weights"] = [{"at": at.isoformat(), "g": number(child.mass)}]
    if yes(child.set_known["sensitivities"]):
        members = child.members["sensitivities"]
        who["sensitivities"] = [word for word, has in members.items() if yes(has)]
    line: dict[str, Any] = {}
    for fact, holder in (
        ("skin_at_site", who),
        ("unit", who),
        ("site", line),
        ("line_kind", line),
    ):
        code = int(number(child.choice_known[fact]))
        if code != UNKNOWN:
            holder["kind" if fact == "line_kind" else fact] = CHOICES[fact][code]
    lumens = int(number(child.lumens_known))
    if LUMENS[0] <= lumens <= LUMENS[1]:
        line["lumens"] = lumens
    if yes(child.set_known["findings"]):
        found = child.members["findings"]
        line["dressing"] = {"findings": [word for word, has in found.items() if yes(has)]}
    after = None
    if later is not None:
        then = born + timedelta(minutes=int(number(later.age_high)))
        after = then.isoformat()
        if yes(later.mass_known):
            who.setdefault("weights", []).append(
                {"at": after, "g": number(later.mass)}
            )
    return Example({"child": who, "line": line}, at.isoformat(), after)
