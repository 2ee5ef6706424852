"""What is proved of a policy, as claims that the solver tries to break.

A claim is broken when the solver finds a child that satisfies its query. A *lively*
claim is the other way round: it is broken when there is no such child, as for a rule
that never decides anything.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import z3

from lumenkeep.policy.prove.child import SymbolicChild
from lumenkeep.policy.rules import Rule

PROPERTIES = {
    "complete": "each child gets one verdict and, unless it is stop or ask, one "
    "antiseptic, one dressing and one stay",
    "safe": "nobody is given what a rule bars or may bar; no time lies below what the "
    "set requires; what must come off again does",
    "consistent": "no two rules disagree, and every rule decides for somebody",
    "stable": "a child who grows loses nothing that was allowed, unless a rule says so",
    "honest": "the planner and the formulas answer alike on both sides of every limit",
}


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
    """

    part: str
    says: str
    query: z3.BoolRef
    child: SymbolicChild
    rules: tuple[Rule, ...]
    mend: str
    later: SymbolicChild | None = None
    lively: bool = False
    also: tuple[z3.BoolRef, ...] = field(default=())
