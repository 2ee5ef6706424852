"""Run the claims, and report what is proved and what is not."""

from __future__ import annotations

from dataclasses import dataclass
from time import perf_counter
from typing import TYPE_CHECKING

import z3

from lumenkeep.errors import NoRuleError
from lumenkeep.policy.prove.answers import SymbolicAnswer
from lumenkeep.policy.prove.complete import complete
from lumenkeep.policy.prove.consistent import consistent
from lumenkeep.policy.prove.counterexample import example
from lumenkeep.policy.prove.epoch import Epoch, epochs_from
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
        From this day on every value counts, those of later days too.
    """
    for name, make in MAKERS.items():
        start = perf_counter()
        count, breaches = 0, []
        for epoch in epochs_from(day, policy):
            book = _book(policy, epoch)
            if isinstance(book, Breach):
                breaches += [book] if name == "complete" else []
                continue
            claims, broken = _held_to(make(book), epoch)
            count += claims
            breaches += broken
        if name == "consistent":
            breaches += [
                Breach(says, _places(rules), mend, None)
                for says, rules, mend in untidy(policy)
            ]
        yield Part(name, count, perf_counter() - start, tuple(breaches))


MAKERS: dict[str, Callable[[RuleBook], Iterable[Claim]]] = {
    "complete": lambda book: complete(SymbolicAnswer(book)),
    "safe": lambda book: safe(SymbolicAnswer(book)),
    "consistent": lambda book: consistent(SymbolicAnswer(book)),
    "stable": stable,
}


def _book(policy: Policy, epoch: Epoch) -> RuleBook | Breach:
    """Return the rules of a stretch of days, or that they lack a number there."""
    try:
        return policy.on(epoch.day)
    except NoRuleError as error:
        fault = error.fault
        return Breach(fault.what, ((policy.id, fault.where),), fault.mend, None)


def _held_to(claims: Iterable[Claim], epoch: Epoch) -> tuple[int, list[Breach]]:
    solvers: dict[int, z3.Solver] = {}
    breaches: list[Breach] = []
    count = 0
    for claim in claims:
        count += 1
        solver = solvers.get(id(claim.child))
        if solver is None:
            solver = z3.Solver()
            solver.add(*claim.child.assumptions)
            solvers[id(claim.child)] = solver
        breach = _tried(claim, solver, epoch)
        if breach is not None:
            breaches.append(breach)
    return count, breaches


def _tried(claim: Claim, solver: z3.Solver, epoch: Epoch) -> Breach | None:
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
        shown = example(solver, claim.child, epoch, claim.later)
        breach = Breach(claim.says, _places(claim.rules), claim.mend, shown)
    solver.pop()
    return breach


def _places(rules: Iterable[Rule]) -> tuple[tuple[str, str], ...]:
    return tuple((rule.id, rule.where) for rule in rules)
