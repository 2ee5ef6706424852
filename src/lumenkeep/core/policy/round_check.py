"""What can only be checked of the rules about a line round when the whole set is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.policy import Policy

WHOLE = 100


def round_faults(policy: Policy) -> Iterator[Fault]:
    """Yield the faults of how a round is planned."""
    for extra in policy.round_plans[1:]:
        yield Fault(
            "policy-two-round-plans",
            f"'{extra.id}' plans the rounds a second time, so nobody could say which "
            "of the two counts.",
            extra.where,
            f"keep one; to change the one that is there, give it the id "
            f"'{policy.round_plans[0].id}'",
        )
    if policy.round_items and not policy.round_plans:
        yield Fault(
            "policy-no-round-plan",
            "There are round items, but no [[round_plan]] that says how wide a month's "
            "answer may be.",
            policy.round_items[0].where,
            "add one [[round_plan]]",
        )
    for plan in policy.round_plans:
        for id_ in (plan.half_width, plan.expected):
            number = policy.numbers.get(id_)
            if number and not all(_is_share(v.value) for v in number.values):
                yield Fault(
                    "policy-not-between",
                    f"'{id_}' is not between 0 and 100 percent.",
                    number.where,
                    "write more than 0 and less than 100",
                )


def _is_share(value: object) -> bool:
    """Return whether it lies inside; of another kind, it has its own fault already."""
    return not isinstance(value, int | float) or 0 < value < WHOLE
