"""Claims of stability: growing older and heavier never takes an agent away."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.policy.solver.answers import SymbolicAnswer
from lumenkeep.core.policy.solver.child import (
    MINUTES_PER_DAY,
    SymbolicChild,
    calendar_limits,
)
from lumenkeep.core.policy.solver.claims import Claim

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.policy import RuleBook


def stable(book: RuleBook) -> Iterator[Claim]:
    """Yield the claims that what is allowed stays so as the child grows.

    Two looks at one child of whom everything is known: later it is as old or older,
    as heavy or, after a day or more, heavier, and nothing else has changed.
    """
    spans, bounds = calendar_limits(book), book.policy.bounds
    now = SymbolicAnswer(book, SymbolicChild(spans, bounds, "_now"))
    then = SymbolicAnswer(book, SymbolicChild(spans, bounds, "_then"))
    grown = z3.And(
        now.child.is_wholly_known(),
        then.child.is_wholly_known(),
        *then.child.assumptions,
        then.child.of_this_world,
        then.child.age >= now.child.age,
        then.child.mass >= now.child.mass,
        z3.Or(
            then.child.mass == now.child.mass,
            then.child.age >= now.child.age + MINUTES_PER_DAY,
        ),
        then.child.gestation == now.child.gestation,
        then.child.lumens == now.child.lumens,
        *(now.child.choice[f] == then.child.choice[f] for f in now.child.choice),
        *(
            now.child.members[fact][word] == then.child.members[fact][word]
            for fact in now.child.members
            for word in now.child.members[fact]
        ),
        *(
            z3.Implies(now.child.calendar[s][2], then.child.calendar[s][2])
            for s in now.child.calendar
        ),
    )
    for agent in book.policy.antiseptics:
        allowed = z3.And(grown, z3.Not(now.refers), now.clear(agent))
        for position, live in enumerate(book.exclusions):
            if agent in live.rule.bars and not live.rule.takes_away:
                yield Claim(
                    "stable",
                    f"'{agent}' is allowed, and taken away again as the child grows.",
                    z3.And(allowed, then.exclusions[position].holds),
                    now.child,
                    (live.rule,),
                    "turn the limit round, or say openly takes_away = true",
                    later=then.child,
                )
        for position, referral in enumerate(book.referrals):
            if not referral.rule.takes_away:
                yield Claim(
                    "stable",
                    f"'{agent}' is allowed, and the child is referred as it grows.",
                    z3.And(allowed, then.referrals[position].holds),
                    now.child,
                    (referral.rule,),
                    "turn the limit round, or say openly takes_away = true",
                    later=then.child,
                )
