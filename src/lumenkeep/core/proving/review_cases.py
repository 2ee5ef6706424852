"""Make the review suite of a policy: few children, each with the answer expected."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.core.planning import Plan, plan_change
from lumenkeep.core.policy import Policy
from lumenkeep.core.policy.solver import boundary_cases, fewest_that_meet_all

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date

    from lumenkeep.core.model import Case


@dataclass(frozen=True, slots=True)
class ReviewCase:
    """One child of the suite.

    Attributes
    ----------
    case, at
        The case file and the instant to ask about.
    plan
        The answer expected.
    shows
        What the child is in the suite for.
    """

    case: dict[str, Any]
    at: str
    plan: Plan
    shows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Suite:
    """The children by which a policy is reviewed; ``is_fewest`` if fewer cannot do."""

    policy: Policy
    cases: tuple[ReviewCase, ...]
    is_fewest: bool


def review_cases(
    policy: Policy, day: date, read_case: Callable[[Mapping[str, Any]], Case]
) -> Suite:
    """Return the fewest children that meet every region, limit side and rule.

    Parameters
    ----------
    policy
        The set; it should be proved first.
    day
        Day whose numbers count.
    read_case
        Reads a case from its mapping.
    """
    found: dict[str, ReviewCase] = {}
    meets: dict[str, frozenset[str]] = {}
    for boundary in boundary_cases(policy, day):
        shown = boundary.shown
        key = repr((shown.case, shown.at))
        at = datetime.fromisoformat(shown.at)
        plan = plan_change(read_case(shown.case), at, policy)
        found[key] = ReviewCase(shown.case, shown.at, plan, ())
        meets[key] = meets.get(key, frozenset()) | _met(boundary.side, plan)
    chosen, is_fewest = fewest_that_meet_all(meets)
    return Suite(
        policy,
        tuple(
            ReviewCase(
                found[key].case,
                found[key].at,
                found[key].plan,
                tuple(sorted(meets[key])),
            )
            for key in chosen
        ),
        is_fewest,
    )


def _met(side: str, plan: Plan) -> frozenset[str]:
    agent = plan.antiseptic.agent if plan.antiseptic else plan.until_known or "none"
    cover = plan.dressing.kind if plan.dressing else "none"
    alone: dict[str, list[str]] = {}
    for excluded in plan.excluded:
        alone.setdefault(excluded.item, []).append(excluded.rule)
    decided = [f"decides: {rules[0]}" for rules in alone.values() if len(rules) == 1]
    referred = [f"decides: {rule}" for rule in plan.referred_by]
    return frozenset(
        [
            f"limit: {side}",
            f"answer: {plan.verdict}, {agent}, {cover}",
            *decided,
            *(referred if len(referred) == 1 else []),
        ]
    )
