"""Fix a symbolic child's birth, so that spans of calendar months have a length."""

from __future__ import annotations

from datetime import UTC, timedelta
from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.quantities import SECONDS_PER_MINUTE
from lumenkeep.core.policy.solver.child import MINUTES_PER_DAY, SymbolicChild

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime


def pinned(child: SymbolicChild, born: datetime) -> Iterator[z3.BoolRef]:
    """Yield that the child was born then: every calendar span has its true length."""
    width = child.age_high - child.age_low
    yield z3.IsInt(child.age_low)
    yield z3.IsInt(child.age)
    yield z3.Or(width == 0, width == MINUTES_PER_DAY)
    at_midnight = born.hour == 0
    if not at_midnight:
        yield width == 0
    for span, (surely, possibly, really) in child.calendar.items():
        early = minutes_of(span.after(born, UTC) - born)
        next_day = born + timedelta(days=1)
        late = minutes_of(span.after(next_day, UTC) - next_day)
        yield surely == z3.If(width == 0, child.age_low >= early, child.age_low >= late)
        yield possibly == (child.age_high >= early)
        yield z3.Implies(width == 0, really == (child.age >= early))


def minutes_of(length: timedelta) -> int:
    """Return a length in whole minutes."""
    return int(length.total_seconds()) // SECONDS_PER_MINUTE
