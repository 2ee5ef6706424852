"""The fewest spares of one branch, as plain values to carry."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.spares import spares_for
from lumenkeep.core.recovery.handful import wants_of

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.rehearsal.stage import Stage


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
