"""What can only be checked of the watch rules when the whole set is known."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from lumenkeep.core.model.reading import closest
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.numbers import Value
    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.watch_rules import ConcernRule, Scale


def watch_faults(policy: Policy) -> Iterator[Fault]:
    """Yield the faults of scales, measuring rules and percentages."""
    scales = {scale.id: scale for scale in policy.scales}
    for rule in policy.concerns:
        if rule.scale is None:
            continue
        if rule.scale in scales:
            yield from _grades(policy, rule, scales[rule.scale])
            continue
        near = closest(rule.scale, scales)
        yield Fault(
            "policy-no-such-scale",
            f"No scale '{rule.scale}' is defined.",
            f"{rule.where}.scale",
            f"did you mean '{near}'?" if near else "define it under [[scale]]",
        )
    if policy.concerns and not any("by-hand" in c.signs for c in policy.concerns):
        yield Fault(
            "policy-missing-part",
            "The set has no concern for what somebody raises by hand, so it would be lost.",
            f"{policy.folder}: concern",
            'add a [[concern]] with signs = ["by-hand"]',
        )
    counted = Counter(rule.priority for rule in policy.measuring)
    for measuring in policy.measuring:
        if counted[measuring.priority] > 1:
            yield Fault(
                "policy-same-priority",
                f"Measuring rule '{measuring.id}' has the same priority as another, so "
                "nobody could say which of them counts.",
                f"{measuring.where}.priority",
                "give each its own priority; of those that apply the highest counts",
            )
        shares = (measuring.moves, measuring.false_alarm, measuring.asks)
        yield from _percentages(policy, shares)
        yield from _not_zero(policy, (measuring.error, measuring.usual_move))


def _grades(policy: Policy, rule: ConcernRule, scale: Scale) -> Iterator[Fault]:
    number = policy.numbers.get(rule.grade_at_least or "")
    if number and not all(0 < _size(v.value) <= scale.highest for v in number.values):
        yield Fault(
            "policy-grade-off-its-scale",
            f"'{number.id}' is no grade of scale '{scale.id}' from 1 to {scale.highest}, "
            f"so concern '{rule.id}' would arise always or never.",
            number.where,
            f"write a whole number from 1 to {scale.highest}",
        )


def _percentages(policy: Policy, named: tuple[str | None, ...]) -> Iterator[Fault]:
    for id_ in named:
        number = policy.numbers.get(id_ or "")
        if number and not all(0 < _size(v.value) < 100 for v in number.values):  # noqa: PLR2004
            yield Fault(
                "policy-not-between",
                f"'{id_}' is not between 0 and 100 percent.",
                number.where,
                "write more than 0 and less than 100; 0 would mean that it never happens",
            )


def _not_zero(policy: Policy, named: tuple[str, ...]) -> Iterator[Fault]:
    for id_ in named:
        number = policy.numbers.get(id_)
        if number and not all(_size(v.value) > 0 for v in number.values):
            yield Fault(
                "policy-no-error",
                f"'{id_}' is 0; no measurement is without error, and no move without length.",
                number.where,
                "write more than 0",
            )


def _size(value: Value) -> float:
    """Return a plain number; a value of another kind has its own fault already."""
    return float(value) if isinstance(value, int | float) else 1.0
