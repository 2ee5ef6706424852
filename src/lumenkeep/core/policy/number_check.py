"""Whether each number that a rule names is there, and of a kind the rule can use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.reading import closest
from lumenkeep.core.policy.numbers import ELAPSED_SECONDS_PER, Number
from lumenkeep.core.policy.read_basics import INSIDE
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.read_basics import Reference

FAMILIES = {
    "time": "a time",
    "elapsed": "a time in s, min or h",
    "length": "a length",
    "gestation": "a gestation in weeks+days",
    "g": "a mass in g",
    "count": "a count",
    "percent": "a percentage",
}


def reference_faults(policy: Policy, refs: Iterable[Reference]) -> list[Fault]:
    """Return the faults of the numbers that a set's own rules name."""
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
        elif _is_another_s(policy, ref):
            faults.append(
                Fault(
                    "policy-number-of-another-rule",
                    f"'{ref.id}' is written inside another rule, and changes with it.",
                    ref.where,
                    "define the number under [number.…] for both, or write its own",
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


def _is_another_s(policy: Policy, ref: Reference) -> bool:
    """Whether a rule decides with a number inside another that is no bound's end."""
    holder, inside, _ = ref.id.partition(INSIDE)
    owner = ref.owner.partition(INSIDE)[0]
    return bool(inside and owner) and holder != owner and holder not in policy.bounds


def _suits(number: Number, family: str) -> bool:
    if family == "elapsed":
        return number.unit in ELAPSED_SECONDS_PER
    return number.family == family


def references_of(
    policy: Policy, base: Policy | None, own: Iterable[Reference]
) -> tuple[Reference, ...]:
    """Return where rules name numbers: the set's own, and those it did not rewrite."""
    below = base.references if base is not None else ()
    kept = (ref for ref in below if _is_inherited(policy, base, ref))
    return (*kept, *own)


def _is_inherited(policy: Policy, base: Policy | None, ref: Reference) -> bool:
    """Return whether the rule that names a number is the one of the set below."""
    owner = _owner(ref)
    rule = policy.written.get(owner)
    return base is not None and rule is not None and rule is base.written.get(owner)


def override_faults(policy: Policy, own: Collection[str]) -> list[Fault]:
    """Return a fault for each number said anew that a rule below cannot use.

    Parameters
    ----------
    own
        Ids of the numbers that the set itself writes.
    """
    base = policy.base
    found: dict[str, Fault] = {}
    for ref in policy.references:
        if ref.id not in own or base is None or not ref.family:
            continue
        number = policy.numbers[ref.id]
        if _is_inherited(policy, base, ref) and not _suits(number, ref.family):
            before = base.numbers[ref.id]
            found.setdefault(
                ref.id,
                Fault(
                    "policy-wrong-unit",
                    f"'{ref.id}' is in {number.unit}, and '{_owner(ref)}' needs "
                    f"{FAMILIES[ref.family]}.",
                    number.where,
                    f"write it in {before.unit}, as it stands at {before.where}",
                ),
            )
    return [*found.values()]


def _owner(ref: Reference) -> str:
    """Return the id of the rule that names a number."""
    return ref.owner.partition(INSIDE)[0]
