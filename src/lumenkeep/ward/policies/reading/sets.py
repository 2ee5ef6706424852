"""Which policies there are to read, and under which name in an address.

What a ward works with comes first, whatever it is called; a shipped set is listed
beside it only if no ward works with just that.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.text import slugify

from lumenkeep.core.policy import Policy, load_policy, shipped_sets
from lumenkeep.errors import Fault, PolicyError
from lumenkeep.text.policy.words import item_words, listed
from lumenkeep.ward.site.people import WardRecord

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lumenkeep.ward.chart.store.policies import PoliciesInForce

DIGEST_IN_ADDRESS = 8


@dataclass(frozen=True, slots=True)
class SetToRead:
    """A policy, its name in addresses, and the wards that work with it."""

    key: str
    policy: Policy
    wards: tuple[WardRecord, ...]

    @property
    def ward_names(self) -> str:
        """The wards, listed."""
        return listed([ward.name for ward in self.wards])

    @property
    def order_words(self) -> str:
        """Which antiseptic is tried first, and then; empty where it names none."""
        order = [item_words(self.policy, agent) for agent in self.policy.antiseptics]
        return f"First {', then '.join(order)}." if order else ""


Unreadable = tuple[WardRecord, tuple[Fault, ...]]
"""A ward whose policy is faulty, and every fault of it."""


def sets_to_read(
    policies: PoliciesInForce, wards: Sequence[WardRecord]
) -> tuple[tuple[SetToRead, ...], tuple[Unreadable, ...]]:
    """Return what can be read, and the wards whose policy cannot.

    First the policies of these wards, then the shipped sets that none works with.
    """
    in_use: dict[str, tuple[Policy, list[WardRecord]]] = {}
    unreadable: list[Unreadable] = []
    for ward in wards:
        try:
            policy = policies.in_force(ward.policy_set, ward.key)
        except PolicyError as error:
            unreadable.append((ward, error.faults))
        else:
            in_use.setdefault(policy.digest, (policy, []))[1].append(ward)
    shipped = (load_policy(name) for name in shipped_sets())
    others = [policy for policy in shipped if policy.digest not in in_use]
    listed = [*in_use.values(), *((policy, []) for policy in others)]
    keys = _keys(policy for policy, _ in listed)
    sets = tuple(
        SetToRead(key, policy, tuple(theirs))
        for key, (policy, theirs) in zip(keys, listed, strict=True)
    )
    return sets, tuple(unreadable)


def _keys(policies: Iterable[Policy]) -> list[str]:
    """Return a name for each; the first of a set has its plain name."""
    keys: list[str] = []
    for policy in policies:
        plain = slugify(policy.id) or "policy"
        exact = f"{plain}-{policy.digest[:DIGEST_IN_ADDRESS]}"
        keys.append(exact if plain in keys else plain)
    return keys
