"""Safe endings stand in the order in which somebody acts in an emergency."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.kept.finding import ProcedureNotKept
from lumenkeep.core.asepsis.kept.order import moved
from lumenkeep.core.asepsis.kept.words import sentence

if TYPE_CHECKING:
    from collections.abc import Iterator
    from collections.abc import Set as AbstractSet

    from lumenkeep.core.asepsis.kept.steps import StepSides

SAFE = "safe"


def out_of_order(
    sides: StepSides, loosened: AbstractSet[str]
) -> Iterator[ProcedureNotKept]:
    """Yield each published safe ending that a set puts in another place.

    What is named openly, and what the set no longer has, counts for no order.
    """
    mine = {
        row.id: (place, row)
        for place, row in enumerate(sides.own.safe)
        if (SAFE, row.id) not in sides.own.of_core
    }
    rows = [
        row for row in sides.shipped.safe if row.id in mine and row.id not in loosened
    ]
    for place, says in moved([(row.id, mine[row.id][0]) for row in rows]):
        row = rows[place]
        yield ProcedureNotKept(
            row.id,
            f"How a child is left, {sentence(row.says)}: in an emergency this is done "
            f"in its turn; {says}.",
            (mine[row.id][1].where, row.where),
        )
