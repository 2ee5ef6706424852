"""Run the claims, and report what is proved and what is not."""

from __future__ import annotations

from dataclasses import dataclass
from time import perf_counter
from typing import TYPE_CHECKING

import z3

from lumenkeep.policy.prove.answers import SymbolicAnswer
from lumenkeep.policy.prove.complete import complete
from lumenkeep.policy.prove.consistent import consistent
from lumenkeep.policy.prove.counterexample import example
from lumenkeep.policy.prove.safe import safe
from lumenkeep.policy.prove.stable import stable
from lumenkeep.policy.prove.tidy import untidy
from lumenkeep.policy.prove.written_case import Example

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from datetime import date

    from lumenkeep.policy.policy import Policy, RuleBook
    from lumenkeep.policy.prove.claims import Claim
    from lumenkeep.policy.rules import Rule


@dataclass(frozen=True, slots=True)
class Breach:
    """A claim that does not hold.

    Attributes
    ----------
    says
        What is wrong.
    rules
        Id and place (file and key) of the rules involved.
    mend
        What to do about it.
    shown_by
        A child on which the fault can be seen; None where the fault is that there
        is none.
    """

    says: str
    rules: tuple[tuple[str, str], ...]
    mend: str
    shown_by: Example | None


@dataclass(frozen=True, slots=True)
class Part:
    """One property of a set: how many claims it took, how long, and what broke."""

    name: str
    claims: int
    seconds: float
    breaches: tuple[Breach, ...]

    @property
    def holds(self) -> bool:
        """Whether the property is proved."""
        return not self.breaches


def prove_parts(policy: Policy, day: date) -> Iterator[Part]:
    """Yield the properties of a set, each as soon as it is decided.

    Parameters
    ----------
    policy
        The set.
    day
        Day whose numbers count.
    """
    book = policy.on(day)
    answer = SymbolicAnswer(book)
    makers: dict[str, Callable[[], Iterable[Claim]]] = {
        "complete": lambda: complete(answer),
        "safe": lambda: safe(answer),
        "consistent": lambda: consistent(answer),
        "stable": lambda: stable(book),
    }
    for name, make in makers.items():
        yield _part(name, make, book)


def _part(name: str, make: Callable[[], Iterable[Claim]], book: RuleBook) -> Part:
    start = perf_counter()
    solvers: dict[int, z3.Solver] = {}
    breaches: list[Breach] = []
    count = 0
    for claim in make():
        count += 1
        solver = solvers.get(id(claim.child))
        if solver is None:
            solver = z3.Solver()
            solver.add(*claim.child.assumptions)
            solvers[id(claim.child)] = solver
        breach = _tried(claim, solver)
        if breach is not None:
            breaches.append(breach)
    if name == "consistent":
        for says, rules, mend in untidy(book.policy):
            count += 1
            breaches.append(Breach(says, _places(rules), mend, None))
    return Part(name, count, perf_counter() - start, tuple(breaches))


def _tried(claim: Claim, solver: z3.Solver) -> Breach | None:
    solver.push()
    solver.add(claim.query)
    found = solver.check()
    breach = None
    if found == z3.unknown:
        breach = Breach(
            f"Not decided: {claim.says}",
            _places(claim.rules),
            "simplify the rule",
            None,
        )
    elif claim.lively and found == z3.unsat:
        breach = Breach(claim.says, _places(claim.rules), claim.mend, None)
    elif not claim.lively and found == z3.sat:
        shown = example(solver, claim.child, claim.later)
        breach = Breach(claim.says, _places(claim.rules), claim.mend, shown)
    solver.pop()
    return breach


def _places(rules: Iterable[Rule]) -> tuple[tuple[str, str], ...]:
    return tuple((rule.id, rule.where) for rule in rules)
