"""What a set says of procedures beside what is published, or in another order.

None of it is a breach by itself: rules of asepsis judge orders and further steps. It is
named, so that whoever reads a proof sees it first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from lumenkeep.core.asepsis.kept.order import moved
from lumenkeep.core.asepsis.kept.owners import OfStep, owned
from lumenkeep.core.asepsis.kept.steps import otherwise

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from collections.abc import Set as AbstractSet

    from lumenkeep.core.asepsis.kept.steps import StepSides
    from lumenkeep.core.asepsis.procedure import Procedure, SafeEnding, Slip, Step

_Row = TypeVar("_Row", "Step", "Slip", "SafeEnding")
MOVES, SLIPS, SAFE_ENDINGS = "moves of ways back", "slips", "safe endings"


def said_anew(sides: StepSides, *, loosened: AbstractSet[str]) -> list[str]:
    """Return what stands elsewhere than published or was added, by what it belongs to.

    As in "dressing-change: D7 now before D5, X7 added". Of a slip also where its
    sentences say what to do in other words.
    """
    pairs = pairs_of(sides, loosened)
    looked_at = [procedure.id for procedure, _ in pairs]
    told: dict[str, list[str]] = {}
    for found, of in (
        (_moved(pairs, sides), sides.shipped),
        (_added(pairs), sides.own),
    ):
        for owner, one in owned(list(found), of, looked_at):
            told.setdefault(owner, []).append(one.says)
    shipped, own = sides.shipped, sides.own
    told[MOVES] = _more(shipped.moves, own.moves)
    told[SLIPS] = [*_more(shipped.slips, own.slips), *_reworded(sides, loosened)]
    told[SAFE_ENDINGS] = _more(shipped.safe, own.safe)
    return [
        f"{owner}: {', '.join(dict.fromkeys(says))}"
        for owner, says in told.items()
        if says
    ]


def pairs_of(
    sides: StepSides, loosened: AbstractSet[str]
) -> list[tuple[Procedure, Procedure]]:
    """Return each published procedure that the set has too and does not name openly."""
    mine = sides.own.procedures
    return [
        (procedure, mine[id_])
        for id_, procedure in sides.shipped.procedures.items()
        if id_ in mine and id_ not in loosened
    ]


def _moved(
    pairs: Iterable[tuple[Procedure, Procedure]], sides: StepSides
) -> Iterator[OfStep]:
    for procedure, mine in pairs:
        there = list(_places(procedure, mine, sides))
        for place, says in moved([(step.id, now) for step, now in there]):
            yield OfStep(procedure.id, there[place][0], says)


def _places(
    procedure: Procedure, mine: Procedure, sides: StepSides
) -> Iterator[tuple[Step, int]]:
    """Yield each published step that is kept, and its place now."""
    for step in procedure.steps:
        for now, own in enumerate(mine.steps):
            if own.id == step.id and not any(otherwise(step, own, sides)):
                yield step, now
                break


def _added(pairs: Iterable[tuple[Procedure, Procedure]]) -> Iterator[OfStep]:
    for procedure, mine in pairs:
        known = {step.id for step in procedure.steps}
        for step in mine.steps:
            if step.id not in known:
                yield OfStep(procedure.id, step, f"{step.id} added")


def _more(shipped: Iterable[_Row], own: Iterable[_Row]) -> list[str]:
    known = {row.id for row in shipped}
    return [f"{row.id} added" for row in own if row.id not in known]


def _reworded(sides: StepSides, loosened: AbstractSet[str]) -> Iterator[str]:
    """Yield each slip whose sentences tell people what to do in other words."""
    shipped, own = _told(sides.shipped.slips), _told(sides.own.slips)
    for id_, says in shipped.items():
        if id_ in own and own[id_] != says and f"slip.{id_}" not in loosened:
            yield f"{id_} (words)"


def _told(slips: Iterable[Slip]) -> dict[str, set[tuple[str, ...]]]:
    """Return what is to be done after each slip, in words, for any of its settings."""
    told: dict[str, set[tuple[str, ...]]] = {}
    for slip in slips:
        told.setdefault(slip.id, set()).add((slip.redo, slip.keep, slip.stop))
    return told
