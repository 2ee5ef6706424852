"""Prove a policy: the solver's properties, that the planner agrees, and its procedures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from time import perf_counter
from typing import TYPE_CHECKING

from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy.solver import Breach, Part, boundary_cases, prove_parts
from lumenkeep.core.proving.lay_out import lay_out_part
from lumenkeep.core.proving.procedures import procedure_part
from lumenkeep.errors import NoRuleError, RuleConflictError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from typing import Any

    from lumenkeep.core.model import Case
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.solver import BoundaryCase


@dataclass(frozen=True, slots=True)
class Proof:
    """Every property of one set, on one day."""

    policy_set: str
    version: str
    digest: str
    day: date
    parts: tuple[Part, ...]

    @property
    def holds(self) -> bool:
        """Whether every property is proved."""
        return all(part.holds for part in self.parts)


def prove_policy(
    policy: Policy,
    day: date,
    read_case: Callable[[Mapping[str, Any]], Case],
    tell: Callable[[Part], None] | None = None,
) -> Proof:
    """Return the proof of a set.

    Parameters
    ----------
    policy
        The set.
    day
        Day whose numbers count.
    read_case
        Reads a case from its mapping, as ``lumenkeep plan`` does.
    tell
        Called with each property as soon as it is decided.

    Raises
    ------
    PolicyError
        Holding every fault of the set's procedure files.
    """
    parts = []
    for part in _parts(policy, day, read_case):
        if tell:
            tell(part)
        parts.append(part)
    return Proof(policy.id, policy.version, policy.digest, day, tuple(parts))


def _parts(
    policy: Policy, day: date, read_case: Callable[[Mapping[str, Any]], Case]
) -> Iterator[Part]:
    yield from prove_parts(policy, day)
    yield _honest(policy, day, read_case)
    yield procedure_part(policy, day)
    yield lay_out_part(policy, day)


def _honest(
    policy: Policy, day: date, read_case: Callable[[Mapping[str, Any]], Case]
) -> Part:
    start = perf_counter()
    breaches: list[Breach] = []
    count = 0
    for case in boundary_cases(policy, day):
        count += 1
        at = datetime.fromisoformat(case.shown.at)
        try:
            plan = plan_change(read_case(case.shown.case), at, policy)
        except (NoRuleError, RuleConflictError) as error:
            fault = error.fault
            place = (("", fault.where),)
            breaches.append(Breach(fault.what, place, fault.mend, case.shown))
            continue
        differs = _differs(case, plan)
        if differs:
            mend = "this is a fault of Lumenkeep: report it"
            breaches.append(Breach(differs, (), mend, case.shown))
    return Part("honest", count, perf_counter() - start, tuple(breaches))


def _differs(case: BoundaryCase, plan: Plan) -> str | None:
    expected = case.expected
    found = (
        plan.verdict,
        plan.antiseptic.agent if plan.antiseptic else None,
        plan.until_known,
        plan.dressing.kind if plan.dressing else None,
    )
    wanted = (
        expected.verdict,
        expected.agent,
        expected.until_known,
        expected.dressing,
    )
    if found == wanted:
        return None
    return f"At “{case.side}” the formulas say {wanted}, the planner {found}."
