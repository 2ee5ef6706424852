"""A handful of spares to lay out, and the one kit that holds the rest.

All the spares with which no single slip sends anybody out of the room come to a second
kit. So what lies beside the field is a few single packs, the ones chosen for this child
before all, and that kit, all of it unopened. Which packs is worked out from what each
slip wants: those with which most slips are mended, and among such sets the one with
which the kit stays closed most often.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.spares import spares_for
from lumenkeep.core.recovery.lay_out import (
    SWAB,
    items_by_supply,
    laid_out_by_plan,
    supply_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.asepsis.spares import Want
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.rehearsal.stage import Stage

Counts = dict[str, int]
MOST = 5
"""How many things a person lays out beside the field and still sees at a glance."""


@dataclass(frozen=True, slots=True)
class Beside:
    """What a handful depends on beside the slips.

    Attributes
    ----------
    there
        What lies in the room anyway, or is laid out beyond what the steps use (count).
    kit
        What one change kit holds (count); None where the set says nothing of a kit,
        and it is whatever is not chosen for one child.
    own
        What is chosen for this child, and lies in no kit of that kind.
    """

    there: Counts
    kit: Counts | None
    own: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Handful:
    """What to lay out unopened.

    Attributes
    ----------
    loose
        Single packs (count).
    kit
        What of one more kit is wanted (count); empty where none is needed.
    covers, covers_closed
        Share of the slips that are mended with all of it; without opening the kit.
    """

    loose: Counts
    kit: Counts
    covers: float
    covers_closed: float

    @property
    def only_in_kit(self) -> tuple[str, ...]:
        """What is wanted of the kit because it lies beside it nowhere."""
        return tuple(item for item in self.kit if item not in self.loose)

    def counts(self, there: Mapping[str, int]) -> Counts:
        """Return everything that may be used up by a slip (count)."""
        return _added(_added(dict(there), self.loose), self.kit)


def wants_of(found: Iterable[Want], limit: Mapping[str, int]) -> list[dict[str, Any]]:
    """Return what slips want, those that want the same together, to be kept.

    Never more than ``limit``: a slip that wants more for its cheapest way back has
    another way with those.
    """
    alike: dict[tuple[tuple[str, int], ...], int] = {}
    for want in found:
        kind = tuple((i, min(n, limit[i])) for i, n in want.wants if i in limit)
        alike[kind] = alike.get(kind, 0) + want.often
    return [{"items": dict(kind), "often": often} for kind, often in alike.items()]


def beside(stage: Stage, branch: Branch, plan: Plan) -> Beside:
    """Return what the handful of a plan's branch depends on beside its slips."""
    items, names = stage.bedside.items, branch.items
    sized = {line.item for line in plan.supplies if line.size is not None}
    covers = {
        names[place]
        for act in branch.acts
        if act.step.verb == "cover"
        for place, _ in act.uses
    }
    supplies = {name: supply_of(name, items[name].supply, plan) for name in names}
    own = tuple(n for n in names if n == SWAB or n in covers or supplies[n] in sized)
    laid = laid_out_by_plan(items, names, plan)
    there = {
        name: max(0, laid[name] - used)
        for name, used in zip(names, branch.planned(), strict=True)
    }
    for spare in stage.bedside.room:
        # What must fit one person lies in no room by itself.
        if spare.item in there and spare.item not in own:
            there[spare.item] += spare.count
    return Beside(there, _kit(stage, branch, plan), own)


def _kit(stage: Stage, branch: Branch, plan: Plan) -> Counts | None:
    if not stage.book.kit:
        return None
    items = items_by_supply(stage.bedside.items, branch.items, plan)
    sizes = {line.item: line.size for line in plan.supplies if line.size is not None}
    return {
        items[name]: int(stage.book.value(packed.count))  # type: ignore[arg-type]  # a count
        for name, packed in stage.book.kit.items()
        if name in items and sizes.get(name, packed.size) == packed.size
    }


def handful(
    least: Mapping[str, int], wants: Sequence[Mapping[str, Any]], by: Beside
) -> Handful:
    """Return what to lay out of the spares of a branch.

    Parameters
    ----------
    least
        All of them (count).
    wants
        As `wants_of` returns it.
    """
    lacks = {
        item: count - by.there.get(item, 0)
        for item, count in least.items()
        if count > by.there.get(item, 0)
    }
    in_kit = _in_kit(lacks, by)
    names = tuple(lacks)
    closed = _masks(wants, names, by.there, {})
    opened = _masks(wants, names, by.there, in_kit)
    total = sum(often for _, often in closed) or 1
    own = sum(1 << place for place, name in enumerate(names) if name in by.own)

    def rank(laid: int) -> tuple[int, int, int]:
        """Slips mended with the kit, and without it; then the child's own packs."""
        others = (laid & own).bit_count() - laid.bit_count()
        return _mended(opened, laid), _mended(closed, laid), others

    most = min(MOST - bool(in_kit), len(names))
    chosen = max(
        (
            sum(1 << place for place in places)
            for size in range(most + 1)
            for places in combinations(range(len(names)), size)
        ),
        key=rank,
    )
    loose = {n: lacks[n] for place, n in enumerate(names) if chosen >> place & 1}
    mended, kept_closed, _ = rank(chosen)
    kit = in_kit if kept_closed < mended else {}
    return Handful(loose, kit, mended / total, kept_closed / total)


def _masks(
    wants: Sequence[Mapping[str, Any]],
    names: Sequence[str],
    there: Mapping[str, int],
    kit: Mapping[str, int],
) -> list[tuple[int, int]]:
    """Return which packs slips want beyond what is there, a bit each, and how often.

    A pack that is laid out holds as many as any slip wants.
    """
    found: dict[int, int] = {}
    for want in wants:
        mask = 0
        for place, name in enumerate(names):
            has = there.get(name, 0) + kit.get(name, 0)
            if want["items"].get(name, 0) > has:
                mask |= 1 << place
        found[mask] = found.get(mask, 0) + want["often"]
    return list(found.items())


def _mended(slips: Sequence[tuple[int, int]], laid: int) -> int:
    return sum(often for mask, often in slips if not mask & ~laid)


def _in_kit(lacks: Counts, by: Beside) -> Counts:
    """Return what of the lacking spares one kit brings (count)."""
    if by.kit is None:
        return {item: count for item, count in lacks.items() if item not in by.own}
    held = {item: min(count, by.kit.get(item, 0)) for item, count in lacks.items()}
    return {item: count for item, count in held.items() if count}


def _added(one: Counts, other: Counts) -> Counts:
    return {i: one.get(i, 0) + other.get(i, 0) for i in {*one, *other}}


def spares_of(stage: Stage, branch: Branch) -> dict[str, Any]:
    """Return the smallest set of spares of a branch, and what each further one buys.

    Frequencies are the set's own; the shipped ones are assumptions. ``slips`` are those
    that want an item, the most frequent first.
    """
    found = spares_for(stage.bedside, branch, often_of(stage.bedside, stage.day))
    wanting: dict[str, Counter[str]] = {}
    for want in found.wants:
        for item, _ in want.wants:
            wanting.setdefault(item, Counter())[want.slip] += want.often
    return {
        "items": dict(found.items),
        "slips": {
            item: [slip for slip, _ in counts.most_common()]
            for item, counts in wanting.items()
        },
        "order": [
            {"items": dict(further.items), "share": further.share}
            for further in found.order
        ],
        "wants": wants_of(found.wants, dict(found.items)),
        "assumed": True,
    }


def often_of(bedside: Bedside, day: date) -> dict[str, int]:
    """Return the assumed frequency of each slip on a day (count in 1000 steps)."""
    found = {}
    for slip in bedside.slips:
        value = bedside.numbers[slip.often].on(day)
        found[slip.id] = int(value.value) if value else 0  # type: ignore[arg-type]  # a count
    return found
