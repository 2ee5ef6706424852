"""Spares by the region of a plan, in memory: once asked, there at once.

Spares depend on the policy, its day, and on what a plan lays out, never on one child;
all children of whom the plan says the same share them. Working out which branch a plan
means costs fifty times the plan itself, even where its spares are kept on disk.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy import keep
from lumenkeep.core.recovery.plan_spares import (
    spares_asked,
    spares_in_plan,
    spares_kept,
)

if TYPE_CHECKING:
    from collections.abc import Hashable

    from lumenkeep.core.model import Case
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.recovery.plan_spares import KeptSpares, PlanSpares

_REGIONS: dict[Hashable, Any] = {}
_UNKNOWN = object()


def forget_regions() -> None:
    """Forget what is kept in memory; what is kept elsewhere stays."""
    _REGIONS.clear()


def spares_of_plan(
    policy: Policy, case: Case, plan: Plan, kept: KeptSpares
) -> PlanSpares | None:
    """Return a plan's spares, worked out if need be; None where it has none."""
    region = _region(policy, case, plan)
    found = _REGIONS.get(region, _UNKNOWN)
    if found is _UNKNOWN:
        asked = spares_asked(policy, case, plan)
        found = None if asked is None else spares_in_plan(asked, kept)
        keep(_REGIONS, region, found)
    return found  # type: ignore[no-any-return]  # kept as such a few lines above


def spares_at_once(
    policy: Policy, case: Case, plan: Plan, kept: KeptSpares
) -> tuple[PlanSpares | None, bool]:
    """Return a plan's spares where they are kept, and whether they are to come."""
    region = _region(policy, case, plan)
    found = _REGIONS.get(region, _UNKNOWN)
    if found is not _UNKNOWN:
        return found, False
    asked = spares_asked(policy, case, plan)
    spares = None if asked is None else spares_kept(asked, kept)
    is_to_come = asked is not None and spares is None
    if not is_to_come:
        keep(_REGIONS, region, spares)
    return spares, is_to_come


def _region(policy: Policy, case: Case, plan: Plan) -> Hashable:
    """Return all that a plan's spares depend on."""
    return (
        policy.id,
        policy.digest,
        plan.at.astimezone(case.zone).date(),
        plan.antiseptic,
        plan.dressing.kind if plan.dressing else None,
        case.line.site,
        case.child.unit,
        case.line.dressing.kind,
        plan.supplies,
    )
