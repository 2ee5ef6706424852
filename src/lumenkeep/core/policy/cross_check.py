"""What can only be checked when the whole set is known: references and coverage.

The full proof over every child is another matter; this finds what makes a set
unusable.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.reading import closest
from lumenkeep.core.policy.number_check import override_faults, reference_faults
from lumenkeep.core.policy.numbers import DatedValue, Number, size_of
from lumenkeep.core.policy.round_check import round_faults
from lumenkeep.core.policy.rule_texts import number_faults, sentence_faults
from lumenkeep.core.policy.watch_check import watch_faults
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.read_basics import Gathered, Reference
    from lumenkeep.core.policy.rules import Floor

COUNT = "count"


def cross_check(policy: Policy, into: Gathered, name: str) -> list[Fault]:
    """Return the faults of a set as a whole.

    Parameters
    ----------
    policy
        The set with what it extends.
    into
        References noted while reading.
    name
        What messages call the set.
    """
    faults = [
        *reference_faults(policy, into.number_refs),
        *override_faults(policy, into.numbers),
        *_sources(policy, into.source_refs),
        *_orders(policy, name),
        *_kit(policy),
        *_turned_round(policy),
        *_overrides(policy),
        *_sentences(policy),
        *watch_faults(policy),
        *round_faults(policy),
    ]
    if not policy.abstract:
        faults += _coverage(policy, name)
    return faults


def _sources(policy: Policy, refs: list[Reference]) -> list[Fault]:
    faults = []
    for ref in refs:
        if ref.id not in policy.sources:
            near = closest(ref.id, policy.sources)
            faults.append(
                Fault(
                    "policy-no-such-source",
                    f"No source '{ref.id}' is defined.",
                    ref.where,
                    f"did you mean '{near}'?" if near else "define it under [source.…]",
                )
            )
    return faults


def _orders(policy: Policy, name: str) -> list[Fault]:
    return [
        Fault(
            "policy-no-such-agent",
            f"No antiseptic '{id_}' is defined.",
            f"{name}: set.antiseptics",
            "define it under [agent.…], or take it out of the order",
        )
        for id_ in policy.antiseptics
        if id_ not in policy.agents
    ]


def _sentences(policy: Policy) -> list[Fault]:
    """Return the faults of sentences that hold numbers of their own."""
    bounds = set(policy.bounds)
    rules = [rule for rule in policy.every_rule() if rule.id not in bounds]
    return [
        *(f for rule in rules for f in sentence_faults(rule, policy.numbers)),
        *(
            fault
            for number in policy.numbers.values()
            if number.id.rpartition(".")[0] not in bounds
            for fault in number_faults(number)
        ),
    ]


def _overrides(policy: Policy) -> list[Fault]:
    seen: dict[str, str] = {}
    faults = []
    for rule in policy.every_rule():
        if rule.id in seen:
            faults.append(
                Fault(
                    "policy-same-id",
                    f"'{rule.id}' is the id of two rules of different kinds.",
                    rule.where,
                    f"give it another id; the other stands at {seen[rule.id]}",
                )
            )
        seen[rule.id] = rule.where
    return faults


def _kit(policy: Policy) -> list[Fault]:
    items = [supply.item for supply in policy.supplies]
    first: dict[str, str] = {}
    twice = [
        Fault(
            "policy-same-item",
            f"Two rows say how much of '{row.item}' lies in the kit.",
            row.where,
            f"keep one of the two; the other stands at {first[row.item]}",
        )
        for row in policy.kit
        if first.setdefault(row.item, row.where) != row.where
    ]
    return twice + [
        Fault(
            "policy-no-such-supply",
            f"The kit holds '{row.item}', which is no supply of this set.",
            row.where,
            f"did you mean '{closest(row.item, items)}'?"
            if closest(row.item, items)
            else "add a [[supply]] with this item, or take it out of the kit",
        )
        for row in policy.kit
        if row.item not in items
    ]


def _turned_round(policy: Policy) -> list[Fault]:
    """Return a fault for each pair of numbers of which the lower is the higher."""
    pairs = [
        (rule.where, "not_before", rule.not_before, rule.not_after)
        for rule in policy.intervals
    ]
    pairs += [
        (agent.where, "area_low", agent.area_low, agent.area_high)
        for agent in policy.agents.values()
    ]
    faults = []
    for where, key, low, high in pairs:
        first, last = policy.numbers.get(low or ""), policy.numbers.get(high or "")
        if first is None or last is None:
            continue
        days = {v.start for v in (*first.values, *last.values)}
        for day in sorted(days):
            one, two = first.on(day), last.on(day)
            if one and two and size_of(one.value) > size_of(two.value):
                faults.append(
                    Fault(
                        "policy-turned-round",
                        f"'{low}' is more than '{high}', so nothing lies between them.",
                        f"{where}.{key}",
                        "exchange the two, or correct one of them",
                    )
                )
                break
    return faults


def floor_faults(floors: Iterable[Floor], numbers: Mapping[str, Number]) -> list[Fault]:
    """Return a fault for each number that is below a floor on the days of both."""
    faults = []
    for floor in floors:
        number, least = numbers.get(floor.number), numbers.get(floor.at_least)
        if number is None or least is None:
            continue
        for day in sorted({v.start for v in (*number.values, *least.values)}):
            value, lowest = number.on(day), least.on(day)
            if value is None or lowest is None:
                continue
            size, limit = size_of(value.value), size_of(lowest.value)
            if size < limit or (floor.strictly and size <= limit):
                sign = "more than" if floor.strictly else "at least"
                faults.append(
                    Fault(
                        "policy-below-floor",
                        f"'{number.id}' is {_written(value, number)}; {floor.source} "
                        f"needs {sign} {_written(lowest, least)}.",
                        number.where,
                        "raise it, or loosen the floor "
                        f"'{floor.id.removeprefix('core:')}' openly",
                    )
                )
                break
    return faults


def _written(value: DatedValue, number: Number) -> str:
    """Return a value as it is written, with its unit; a count has none."""
    return value.written + ("" if number.unit == COUNT else f" {number.unit}")


def _coverage(policy: Policy, name: str) -> list[Fault]:
    wanted = {
        "antiseptics": (policy.antiseptics, "list the antiseptics in the order tried"),
        "dressings": (policy.dressings, "list the dressings in the order tried"),
        "staffing": (
            policy.staffing,
            "add a [[staffing]] rule: how many, masks, roles",
        ),
    }
    faults = [
        Fault("policy-missing-part", f"The set has no {part}.", f"{name}: set", mend)
        for part, (present, mend) in wanted.items()
        if not present
    ]
    if not any(i.task == "dressing" for i in policy.intervals):
        faults.append(
            Fault(
                "policy-missing-part",
                "The set has no interval for dressings.",
                f"{name}: interval",
                'add an [[interval]] with task = "dressing"',
            )
        )
    return faults
