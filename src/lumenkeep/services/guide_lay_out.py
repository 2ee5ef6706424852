"""What to lay out before the first step: what the steps use, and the spares."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.planning import Plan
    from lumenkeep.services.guide_branch import GuidedBranch

SWAB = "antiseptic-swab"


def item_names(chosen: GuidedBranch, plan: Plan) -> dict[str, dict[str, str]]:
    """Return what each item is called, with the plan's own product and size."""
    sizes = {line.item: line.size for line in plan.supplies if line.size}
    found = {}
    for name in chosen.branch.items:
        item = chosen.stage.bedside.items[name]
        label = item.label
        if name == SWAB and plan.antiseptic is not None:
            label = f"{label}: {plan.antiseptic.label}"
        size = sizes.get(item.supply or "")
        found[name] = {"name": f"{label}, size {size}" if size else label}
    return found


def lay_out(
    steps: Sequence[Mapping[str, Any]],
    names: Mapping[str, Mapping[str, str]],
    spares: Mapping[str, int],
) -> list[dict[str, Any]]:
    """Return what to lay out with counts: first what the steps use, then the spares."""
    planned: dict[str, int] = {}
    for step in steps:
        for item, count in step["uses"].items():
            planned[item] = planned.get(item, 0) + count
    return [
        {"item": item, "name": names[item]["name"], "count": count, "spare": is_spare}
        for counts, is_spare in ((planned, False), (spares, True))
        for item in names
        if (count := counts.get(item, 0))
    ]
