"""What can only be checked when the whole set is known: references and coverage.

The full proof over every child is another matter; this finds what makes a set
unusable.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.errors import Fault
from lumenkeep.model.reading import closest
from lumenkeep.model.times import CalendarSpan, Elapsed
from lumenkeep.policy.numbers import ELAPSED_SECONDS_PER, Number
from lumenkeep.policy.round_check import round_faults
from lumenkeep.policy.watch_check import watch_faults

if TYPE_CHECKING:
    from lumenkeep.policy.policy import Policy
    from lumenkeep.policy.read_basics import Gathered, Reference

FAMILIES = {
    "time": "a time",
    "elapsed": "a time in s, min or h",
    "length": "a length",
    "gestation": "a gestation in weeks+days",
    "g": "a mass in g",
    "count": "a count",
    "percent": "a percentage",
}


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
        *_numbers(policy, into.number_refs),
        *_sources(policy, into.source_refs),
        *_orders(policy, name),
        *_floors(policy),
        *_kit(policy),
        *_turned_round(policy),
        *_overrides(policy),
        *watch_faults(policy),
        *round_faults(policy),
    ]
    if not policy.abstract:
        faults += _coverage(policy, name)
    return faults


def _numbers(policy: Policy, refs: list[Reference]) -> list[Fault]:
    faults = []
    for ref in refs:
        number = policy.numbers.get(ref.id)
        if number is None:
            near = closest(ref.id, policy.numbers)
            faults.append(
                Fault(
                    "policy-no-such-number",
                    f"No number '{ref.id}' is defined.",
                    ref.where,
                    f"did you mean '{near}'?" if near else "define it under [number.…]",
                )
            )
        elif ref.family and not _suits(number, ref.family):
            faults.append(
                Fault(
                    "policy-wrong-unit",
                    f"'{ref.id}' is in {number.unit}; {FAMILIES[ref.family]} is needed here.",
                    ref.where,
                    f"name a number that is {FAMILIES[ref.family]}",
                )
            )
    return faults


def _suits(number: Number, family: str) -> bool:
    if family == "elapsed":
        return number.unit in ELAPSED_SECONDS_PER
    return number.family == family


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
    return [
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
            if one and two and _size(one.value) > _size(two.value):
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


def _floors(policy: Policy) -> list[Fault]:
    faults = []
    for floor in policy.floors:
        number = policy.numbers.get(floor.number)
        least = policy.numbers.get(floor.at_least)
        if number is None or least is None:
            continue
        lowest = _size(least.values[-1].value)
        for value in number.values:
            size = _size(value.value)
            if size < lowest or (floor.strictly and size <= lowest):
                sign = "more than" if floor.strictly else "at least"
                faults.append(
                    Fault(
                        "policy-below-floor",
                        f"'{number.id}' is {value.written} {number.unit}; {floor.source} "
                        f"needs {sign} {least.values[-1].written} {least.unit}.",
                        number.where,
                        f"raise it, or remove the floor '{floor.id}' openly",
                    )
                )
    return faults


def _size(value: object) -> float:
    if isinstance(value, Elapsed | CalendarSpan):
        return value.nominal_hours()
    return float(value)  # type: ignore[arg-type]  # the other values are numbers


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
