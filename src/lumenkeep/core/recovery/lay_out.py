"""What to lay out before the first step: the plan's own supplies, and what comes on top.

A procedure that the plan is made for lays out the plan's list, word for word and count
for count. On top comes only what an answer at the bedside asks for (soil to wash off,
a new securement), and the extra supplies. Other procedures lay out what their steps
use, in the plan's names and sizes where it has them.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from lumenkeep.core.rehearsal.procedure_files import change_procedure

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lumenkeep.core.asepsis.procedure import Item
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.recovery.chosen_branch import GuidedBranch

Row = dict[str, Any]
SWAB = "antiseptic-swab"
KIT, KIT_NAME = "change-kit", "Change kit, one more, unopened"
SWABS_OF = "swabs-"
"""How the supply of an antiseptic's swabs begins; its agent follows."""


def supply_of(item: str, supply: str | None, plan: Plan) -> str | None:
    """Return the plan's word for an item of the steps; None where it has none."""
    if item == SWAB and plan.antiseptic is not None:
        return SWABS_OF + plan.antiseptic.agent
    return supply


def items_by_supply(
    items: Mapping[str, Item], names: Iterable[str], plan: Plan
) -> dict[str, str]:
    """Return the item of the steps that each supply of the plan is."""
    found: dict[str, str] = {}
    for name in names:
        if supply := supply_of(name, items[name].supply, plan):
            found[supply] = name
        found |= dict.fromkeys(items[name].also, name)
    return found


def laid_out_by_plan(
    items: Mapping[str, Item], names: Iterable[str], plan: Plan
) -> Counter[str]:
    """Return how many of each item of the steps the plan lays out (count)."""
    by_supply = items_by_supply(items, names, plan)
    laid: Counter[str] = Counter()
    for line in plan.supplies:
        if line.item in by_supply:
            laid[by_supply[line.item]] += line.count
    return laid


def item_names(chosen: GuidedBranch, plan: Plan) -> dict[str, dict[str, str]]:
    """Return what each item is called: as the plan calls it, with its size."""
    called: dict[str | None, str] = {}
    for row in plan_rows(plan):
        called.setdefault(row["supply"], row["name"])
    found = {}
    for name in chosen.branch.items:
        item = chosen.stage.bedside.items[name]
        supply = supply_of(name, item.supply, plan) if chosen.scrubs else item.supply
        label = item.label
        if name == SWAB and plan.antiseptic is not None:
            label = f"{label}: {plan.antiseptic.label}"
        found[name] = {"name": called.get(supply, label)}
    return found


def plan_rows(plan: Plan) -> list[Row]:
    """Return the plan's supplies, each once: what lies in the kit and what is fetched."""
    rows: dict[tuple[str, str, str | None], Row] = {}
    for line in plan.supplies:
        key = (line.item, line.label, line.size)
        row = rows.setdefault(
            key,
            {
                "supply": line.item,
                "name": f"{line.label}, size {line.size}" if line.size else line.label,
                "count": 0,
            },
        )
        row["count"] += line.count
    return list(rows.values())


def is_planned_for(chosen: GuidedBranch) -> bool:
    """Return whether the procedure is the one that the plan is made for."""
    made_for = change_procedure(chosen.stage.bedside)
    return made_for is not None and chosen.procedure.id == made_for.id


def planned_rows(chosen: GuidedBranch, plan: Plan) -> list[Row]:
    """Return what to lay out for the steps themselves, with counts."""
    items, names = chosen.stage.bedside.items, item_names(chosen, plan)
    used = dict(zip(chosen.branch.items, chosen.branch.planned(), strict=True))
    if not is_planned_for(chosen):
        return [_row(n, names[n]["name"], c) for n, c in used.items() if c]
    by_supply = items_by_supply(items, used, plan)
    laid = laid_out_by_plan(items, used, plan)
    return [
        _row(
            by_supply.get(supply := str(row["supply"]), supply),
            row["name"],
            row["count"],
        )
        for row in plan_rows(plan)
    ] + [
        {**_row(name, names[name]["name"], more), "more": True}
        for name, count in used.items()
        if (more := count - laid[name]) > 0
    ]


def extra_rows(
    names: Mapping[str, Mapping[str, str]], extra: Mapping[str, int]
) -> list[Row]:
    """Return the extra supplies as rows of the list."""
    return [
        {**_row(item, names[item]["name"], extra[item]), "spare": True}
        for item in names
        if extra.get(item, 0)
    ]


def kit_row(names: Mapping[str, Mapping[str, str]], holds: Iterable[str]) -> list[Row]:
    """Return the row of one more kit, unopened, that holds the rest of the spares."""
    said = ", ".join(names[item]["name"].lower() for item in holds)
    return [{**_row(KIT, KIT_NAME, 1), "spare": True, "holds": said}]


def _row(item: str, name: str, count: int) -> Row:
    return {"item": item, "name": name, "count": count, "spare": False}
