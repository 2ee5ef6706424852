"""Run the claims, and report what is proved and what is not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from time import perf_counter
from typing import TYPE_CHECKING

import z3

from lumenkeep.core.policy.core_breaches import core_breaches
from lumenkeep.core.policy.solver.answers import SymbolicAnswer
from lumenkeep.core.policy.solver.complete import complete
from lumenkeep.core.policy.solver.consistent import consistent
from lumenkeep.core.policy.solver.counterexample import ordinary
from lumenkeep.core.policy.solver.epoch import Epoch, epochs_from
from lumenkeep.core.policy.solver.laid_out import Need, laid_out
from lumenkeep.core.policy.solver.lengths import lengths
from lumenkeep.core.policy.solver.safe import safe
from lumenkeep.core.policy.solver.stable import stable
from lumenkeep.core.policy.solver.tidy import untidy
from lumenkeep.core.policy.solver.written_case import Example
from lumenkeep.errors import NoRuleError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from lumenkeep.core.policy.numbers import Number
    from lumenkeep.core.policy.policy import Policy, RuleBook
    from lumenkeep.core.policy.rules import Rule
    from lumenkeep.core.policy.solver.claims import Claim


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
    since
        First day on which it shows, where that is still to come; None for today.
    """

    says: str
    rules: tuple[tuple[str, str], ...]
    mend: str
    shown_by: Example | None
    since: date | None = None


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
    return (prove_part(policy, day, name) for name in MAKERS)


def prove_part(policy: Policy, day: date, name: str) -> Part:
    """Return one property of a set, decided; ``name`` is one of `MAKERS`.

    Parameters
    ----------
    policy
        The set.
    day
        From this day on every value counts, those of later days too.
    """
    make = MAKERS[name]
    start = perf_counter()
    count = 0
    breaches: list[Breach] = []
    for epoch in epochs_from(day, policy):
        book = _book(policy, epoch)
        if isinstance(book, Breach):
            broken = [book] if name == "complete" else []
        else:
            claims, broken = _held_to(make(book), epoch, policy)
            count += claims
        since = epoch.day if epoch.day > day else None
        breaches += [
            replace(one, since=since)
            for one in broken
            if not any(_is_same(one, told) for told in breaches)
        ]
    if name == "safe":
        breaches += _of_the_core(policy, day)
        count += len(policy.sane)
    if name == "consistent":
        breaches += [
            Breach(says, _places(rules), mend, None)
            for says, rules, mend in untidy(policy)
        ]
    return Part(name, count, perf_counter() - start, tuple(breaches))


def prove_lay_out(
    policy: Policy, day: date, needs: Iterable[Need], mask_from: str | None
) -> tuple[int, list[Breach]]:
    """Return how many claims of lay-out were tried on a day, and what broke.

    Parameters
    ----------
    policy
        The set.
    day
        Whose numbers count; children are asked about in the stretch it lies in.
    needs
        What the steps of a change use.
    mask_from
        Number of the age from which a child is masked; None where the set has none.
    """
    epoch = epochs_from(day, policy)[0]
    return _held_to(laid_out(policy.on(day), needs, mask_from), epoch, policy)


def _is_same(one: Breach, told: Breach) -> bool:
    """Return whether a breach was told already, of an earlier day."""
    return (one.says, one.rules) == (told.says, told.rules)


def _of_the_core(policy: Policy, day: date) -> Iterator[Breach]:
    """Yield what the set does not hold of the core, where no child is needed."""
    if policy.core is not None:
        for broken in core_breaches(policy, policy.core, day):
            yield Breach(broken.says, broken.places, broken.mend, None)


def _consistent(book: RuleBook) -> Iterator[Claim]:
    answer = SymbolicAnswer(book)
    yield from consistent(answer)
    yield from lengths(answer)


MAKERS: dict[str, Callable[[RuleBook], Iterable[Claim]]] = {
    "complete": lambda book: complete(SymbolicAnswer(book)),
    "safe": lambda book: safe(SymbolicAnswer(book)),
    "consistent": _consistent,
    "stable": stable,
}


def _book(policy: Policy, epoch: Epoch) -> RuleBook | Breach:
    """Return the rules of a stretch of days, or that they lack a number there."""
    try:
        return policy.on(epoch.day)
    except NoRuleError as error:
        fault = error.fault
        return Breach(fault.what, ((policy.id, fault.where),), fault.mend, None)


def _held_to(
    claims: Iterable[Claim], epoch: Epoch, policy: Policy
) -> tuple[int, list[Breach]]:
    solvers: dict[int, z3.Solver] = {}
    breaches: list[Breach] = []
    count = 0
    for claim in claims:
        count += 1
        solver = solvers.get(id(claim.child))
        if solver is None:
            solver = z3.Solver()
            solver.add(*claim.child.assumptions, claim.child.of_this_world)
            solvers[id(claim.child)] = solver
        breach = _tried(claim, solver, epoch)
        if breach is not None:
            breaches.append(replace(breach, rules=_own_first(breach.rules, policy)))
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
        model = solver.model()
        shown = None
        found_child = ordinary(
            solver, claim.child, epoch, later=claim.later, rather=claim.rather
        )
        if found_child:
            shown, model = found_child
            if claim.worn is not None:
                shown.case["line"].setdefault("dressing", {})["kind"] = claim.worn
        rules = (*claim.rules, *_that_led(claim, model))
        breach = Breach(_said_of(claim, model), _places(rules), claim.mend, shown)
    solver.pop()
    return breach


def _said_of(claim: Claim, model: z3.ModelRef) -> str:
    """Return what is wrong, as exactly as the child tells it."""
    for holds, says in claim.exactly:
        if z3.is_true(model.eval(holds, model_completion=True)):
            return says
    return claim.says


def _own_first(
    places: tuple[tuple[str, str], ...], policy: Policy
) -> tuple[tuple[str, str], ...]:
    """Return places with those first that the set itself wrote, and not one below."""
    own = f"{policy.folder}/"
    return tuple(sorted(places, key=lambda place: not place[1].startswith(own)))


def _that_led(claim: Claim, model: z3.ModelRef) -> Iterator[Rule | Number]:
    """Yield the rules and numbers that had their part in the answer of a child."""
    for had_part, one in claim.led:
        if z3.is_true(model.eval(had_part, model_completion=True)):
            yield one


def _places(rules: Iterable[Rule | Number]) -> tuple[tuple[str, str], ...]:
    return tuple(dict.fromkeys((rule.id, rule.where) for rule in rules))
