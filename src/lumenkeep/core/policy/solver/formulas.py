"""Rules as formulas: surely holds, surely does not, and really holds.

The first two say what the planner finds from what is known; the third says how
things are. Facts of the plan itself (agent, dressing, set) are constants here: the
proof asks about each in turn.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import z3

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.policy.solver.child import (
    CHOICES,
    MINUTES_PER_DAY,
    UNKNOWN,
    SymbolicChild,
    minutes,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.policy.conditions import LiveComparison, LiveWhen

YES, NO = z3.And(), z3.Or()
"""What always holds, and what never does."""
_CONTEXT = z3.main_ctx()


def all_of(parts: Sequence[z3.BoolRef]) -> z3.BoolRef:
    """Return that each of these holds.

    As `z3.And`, which first looks at the sort of each part again and again: half of a
    proof's time went there.
    """
    return z3.BoolRef(z3.Z3_mk_and(_CONTEXT.ref(), *_array(parts)), _CONTEXT)


def any_of(parts: Sequence[z3.BoolRef]) -> z3.BoolRef:
    """Return that one of these holds at least; as `z3.Or`, see `all_of`."""
    return z3.BoolRef(z3.Z3_mk_or(_CONTEXT.ref(), *_array(parts)), _CONTEXT)


def _array(parts: Sequence[z3.BoolRef]) -> tuple[int, Any]:
    asts = [part.as_ast() for part in parts]
    return len(asts), (z3.Ast * len(asts))(*asts)


@dataclass(frozen=True, slots=True)
class Three:
    """A rule for the solver.

    Attributes
    ----------
    holds, fails
        What the known facts surely decide; neither where they leave it open.
    really
        What the true facts decide.
    """

    holds: z3.BoolRef
    fails: z3.BoolRef
    really: z3.BoolRef

    @property
    def is_open(self) -> z3.BoolRef:
        """That the known facts do not decide it."""
        return z3.And(z3.Not(self.holds), z3.Not(self.fails))


def rule_formula(
    when: LiveWhen, child: SymbolicChild, planned: Mapping[str, str | None]
) -> Three:
    """Return a rule's condition as formulas over ``child``.

    Parameters
    ----------
    when
        The condition with the numbers of a day.
    child
        The symbolic child.
    planned
        Words of the plan's own facts; a fact that is None is undecided.
    """
    if not when.rows:
        return Three(YES, NO, YES)
    rows = [[_comparison(c, child, planned) for c in row] for row in when.rows]
    return Three(
        holds=any_of([all_of([c.holds for c in row]) for row in rows]),
        fails=all_of([any_of([c.fails for c in row]) for row in rows]),
        really=any_of([all_of([c.really for c in row]) for row in rows]),
    )


def _comparison(
    c: LiveComparison, child: SymbolicChild, planned: Mapping[str, str | None]
) -> Three:
    if c.fact in ("agent", "dressing", "set_kind"):
        return _planned(c, planned.get(c.fact))
    if isinstance(c.limit, frozenset):
        if c.fact in CHOICES:
            return _choice(c, child)
        return _member(c, child)
    if isinstance(c.limit, CalendarSpan):
        return _calendar(c, child)
    if isinstance(c.limit, Elapsed):
        return _span(
            c.test,
            child.age_known,
            (child.age_low, child.age_high, child.age),
            minutes(c.limit),
        )
    return _number(c, child, z3.RealVal(str(c.limit)))


def _planned(c: LiveComparison, word: str | None) -> Three:
    if word is None:
        return Three(NO, NO, NO)
    is_so = (word in c.limit) is (c.test == "is")  # type: ignore[operator]  # words
    return Three(YES, NO, YES) if is_so else Three(NO, YES, NO)


def _choice(c: LiveComparison, child: SymbolicChild) -> Three:
    allowed = CHOICES[c.fact]
    codes = [allowed.index(word) for word in sorted(c.limit)]  # type: ignore[arg-type]  # words
    known, true = child.choice_known[c.fact], child.choice[c.fact]

    def among(value: z3.ArithRef) -> z3.BoolRef:
        return any_of([value == code for code in codes])

    holds = among(known)
    fails = all_of([known != UNKNOWN, z3.Not(among(known))])
    really = among(true)
    if c.test == "is":
        return Three(holds, fails, really)
    return Three(fails, holds, z3.Not(really))


def _member(c: LiveComparison, child: SymbolicChild) -> Three:
    members = child.members[c.fact]
    wanted = [members[word] for word in sorted(c.limit)]  # type: ignore[arg-type]  # words
    some = all_of(wanted) if c.test == "includes_all" else any_of(wanted)
    known = child.set_known[c.fact]
    holds, fails = all_of([known, some]), all_of([known, z3.Not(some)])
    if c.test != "lacks":
        return Three(holds, fails, some)
    return Three(fails, holds, z3.Not(some))


def _calendar(c: LiveComparison, child: SymbolicChild) -> Three:
    surely, possibly, really = child.calendar[c.limit]  # type: ignore[index]  # a span
    reached = Three(
        all_of([child.age_known, surely]),
        all_of([child.age_known, z3.Not(possibly)]),
        really,
    )
    if c.test in ("at_least", "above"):
        return reached
    return Three(reached.fails, reached.holds, z3.Not(really))


def _number(c: LiveComparison, child: SymbolicChild, limit: Any) -> Three:
    if c.fact == "gestation_at_birth":
        ends = (child.gestation_low, child.gestation_high, child.gestation)
        return _span(c.test, child.gestation_known, ends, limit)
    if c.fact == "mass":
        known = _span(c.test, child.mass_known, (child.mass,) * 3, limit)
        open_ = _span(
            c.test,
            z3.Not(child.mass_known),
            (child.mass_least, None, child.mass),
            limit,
        )
        return Three(
            any_of([known.holds, open_.holds]),
            any_of([known.fails, open_.fails]),
            known.really,
        )
    if c.fact == "postmenstrual_age":
        return _postmenstrual(c.test, child, limit)
    low, _ = child.bounds["lumens"].counts
    count = child.lumens_known
    known = _span(c.test, count != UNKNOWN, (count, count, child.lumens), limit)
    open_ = _span(c.test, count == UNKNOWN, (z3.IntVal(low), None, child.lumens), limit)
    return Three(
        any_of([known.holds, open_.holds]),
        any_of([known.fails, open_.fails]),
        known.really,
    )


def _postmenstrual(test: str, child: SymbolicChild, limit: Any) -> Three:
    """Return a comparison of gestation plus age; its least is known from either."""
    zero = z3.RealVal(0)
    least = z3.If(child.gestation_known, z3.ToReal(child.gestation_low), zero) + z3.If(
        child.age_known, child.age_low / MINUTES_PER_DAY, zero
    )
    most = z3.ToReal(child.gestation_high) + child.age_high / MINUTES_PER_DAY
    true = z3.ToReal(child.gestation) + child.age / MINUTES_PER_DAY
    both = all_of([child.age_known, child.gestation_known])
    spans = [
        _span(test, both, (least, most, true), limit),
        _span(test, z3.Not(both), (least, None, true), limit),
    ]
    return Three(
        any_of([s.holds for s in spans]),
        any_of([s.fails for s in spans]),
        spans[0].really,
    )


def _span(
    test: str, known: z3.BoolRef, ends: tuple[Any, Any, Any], limit: Any
) -> Three:
    """Return a comparison of a span with a limit; a high end of None is infinite."""
    low, high, true = ends
    if test in ("below", "at_least"):
        under = NO if high is None else high < limit
        over = low >= limit
        really_under = true < limit
    else:
        under = NO if high is None else high <= limit
        over = low > limit
        really_under = true <= limit
    holds, fails = all_of([known, under]), all_of([known, over])
    if test in ("below", "at_most"):
        return Three(holds, fails, really_under)
    return Three(fails, holds, z3.Not(really_under))
