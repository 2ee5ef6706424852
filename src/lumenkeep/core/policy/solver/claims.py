"""What is proved of a policy, as claims that the solver tries to break.

A claim is broken when the solver finds a child that satisfies its query. A *lively*
claim is the other way round: it is broken when there is no such child, as for a rule
that never decides anything.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import z3

from lumenkeep.core.policy.numbers import Number
from lumenkeep.core.policy.rules import Rule
from lumenkeep.core.policy.solver.child import SymbolicChild

PROPERTIES = {
    "complete": "each child gets one verdict and, unless it is stop or ask, one "
    "antiseptic, one dressing and one stay",
    "safe": "nobody is given what a rule bars or may bar; no time lies below what the "
    "set requires; what must come off again does; what every set is held to is kept, "
    "stricter, or named as loosened",
    "consistent": "no two rules disagree, and every rule decides for somebody",
    "stable": "a child who grows loses nothing that was allowed, unless a rule says so",
    "honest": "the planner and the formulas answer alike on both sides of every limit",
    "aseptic": "every procedure keeps the rules of asepsis at each step, in every "
    "setting, and its own numbers keep the floors; what is published of procedures is "
    "kept or named",
    "laid-out": "what a change plan lays out is as much as its steps use, and fits whom "
    "it must fit",
}
"""What each property says. The last two walk the procedures, in an engine above."""


@dataclass(frozen=True, slots=True)
class Claim:
    """One thing that must hold.

    Attributes
    ----------
    part
        One of `PROPERTIES`.
    says
        What is wrong where the claim is broken.
    query
        The child that would break it (or, for a lively claim, must exist).
    child, later
        Whose facts the query speaks of; ``later`` is the same child, older.
    rules
        The rules involved.
    mend
        What to do about it.
    lively
        Whether the query must be satisfiable.
    worn
        The dressing that the child has on, where the claim is about that.
    rather
        What the child shown is to be, if it can: one on whom nothing else hides it.
    led
        Further rules and numbers, each named where its formula holds for the child
        that is shown; asked for once.
    exactly
        Sentences that say it more exactly; the first whose formula holds for the child
        that is shown stands in the place of ``says``.
    """

    part: str
    says: str
    query: z3.BoolRef
    child: SymbolicChild
    rules: tuple[Rule, ...]
    mend: str
    later: SymbolicChild | None = None
    lively: bool = False
    worn: str | None = None
    rather: z3.BoolRef | None = None
    led: Iterable[tuple[z3.BoolRef, Rule | Number]] = field(default=())
    exactly: tuple[tuple[z3.BoolRef, str], ...] = ()
