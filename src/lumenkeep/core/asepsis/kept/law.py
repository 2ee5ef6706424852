"""The law "kept or named", for procedures.

What the published files state, a set keeps, or makes stricter, or names under
``[[loosened]]``. Whatever else it does is found here. Another order of steps is no fault
by itself, for rules of asepsis judge orders (`anew` names it); one of safe endings is.
"""

from __future__ import annotations

from functools import partial
from operator import attrgetter
from typing import TYPE_CHECKING, Any, TypeVar

from lumenkeep.core.asepsis.kept.anew import pairs_of
from lumenkeep.core.asepsis.kept.endings import out_of_order
from lumenkeep.core.asepsis.kept.finding import ProcedureNotKept
from lumenkeep.core.asepsis.kept.heads import lost_of_head
from lumenkeep.core.asepsis.kept.kinds import KINDS
from lumenkeep.core.asepsis.kept.numbers import numbers_not_kept
from lumenkeep.core.asepsis.kept.owners import OfStep, is_named, owned
from lumenkeep.core.asepsis.kept.settings import PROCEDURE
from lumenkeep.core.asepsis.kept.steps import StepSides, otherwise
from lumenkeep.core.asepsis.kept.variants import lost
from lumenkeep.core.asepsis.kept.words import sentence

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from collections.abc import Set as AbstractSet

    from lumenkeep.core.asepsis.procedure import Procedure

T = TypeVar("T")


def not_kept(
    sides: StepSides,
    *,
    loosened: AbstractSet[str],
    elsewhere: AbstractSet[str],
    folder: str,
) -> list[ProcedureNotKept]:
    """Return everything published of procedures that a set neither keeps nor names.

    Parameters
    ----------
    loosened
        Ids of what the set names openly.
    elsewhere
        Ids of numbers that are held elsewhere: by a floor, or with the set's rules.
    folder
        What messages call the set's files.
    """
    found = [
        *_gone(sides, folder),
        *_steps(sides, loosened),
        *_heads(sides, loosened),
        *_counting(sides),
    ]
    if sides.own.procedures:  # without any, nothing uses the rest
        found += _rows(sides, folder)
        found += out_of_order(sides, loosened)
        found += numbers_not_kept(
            sides.shipped, sides.own, sides.day, elsewhere, folder
        )
    return [one for one in found if not _names(one.id) & loosened]


def _names(id_: str) -> set[str]:
    """Return the ids by which a thing is loosened: its own, and its procedure's."""
    return {id_, id_.partition(".")[0]}


def _gone(sides: StepSides, folder: str) -> Iterator[ProcedureNotKept]:
    for id_, procedure in sides.shipped.procedures.items():
        if id_ not in sides.own.procedures:
            says = f"“{procedure.title}” is no more: this set has no such procedure."
            yield ProcedureNotKept(id_, says, (folder, procedure.where), id_)


def _steps(sides: StepSides, loosened: AbstractSet[str]) -> Iterator[ProcedureNotKept]:
    pairs = pairs_of(sides, loosened)
    found = [one for pair in pairs for one in _of_procedure(*pair, sides, loosened)]
    looked_at = [procedure.id for procedure, _ in pairs]
    for owner, one in owned(found, sides.shipped, looked_at):
        of = sides.shipped.procedures.get(owner)
        title = of.title if of else f"The {owner} of every procedure"
        step = one.step
        says = f"{title}, step {step.id} {sentence(step.says)}: {one.says}."
        yield ProcedureNotKept(
            f"{owner}.{step.id}",
            says,
            one.places,
            procedure=of.id if of else None,
            in_one=None if of else f"{one.procedure}.{step.id}",
        )


def _of_procedure(
    procedure: Procedure, mine: Procedure, sides: StepSides, loosened: AbstractSet[str]
) -> Iterator[OfStep]:
    differs = partial(otherwise, sides=sides)
    for variants in _by_id(procedure.steps):
        step = variants[0]
        own = [one for one in mine.steps if one.id == step.id]
        found = lost(variants, own, differs, {PROCEDURE: procedure.id})
        if found and not is_named(procedure.id, step, sides.shipped, loosened):
            says, other = found
            place = other.where if other else mine.where
            yield OfStep(procedure.id, step, says, (place, step.where))


def _heads(sides: StepSides, loosened: AbstractSet[str]) -> Iterator[ProcedureNotKept]:
    for procedure, mine in pairs_of(sides, loosened):
        for part, says in lost_of_head(procedure, mine):
            yield ProcedureNotKept(
                f"{procedure.id}.{part}",
                f"{procedure.title}, as a whole: {says}.",
                (f"{mine.where}.{part}", f"{procedure.where}.{part}"),
                procedure.id,
            )


def _counting(sides: StepSides) -> Iterator[ProcedureNotKept]:
    """Yield procedures of the set's own that count for what a published one does."""
    for id_, mine in sides.own.procedures.items():
        for task in mine.resets if id_ not in sides.shipped.procedures else ():
            for procedure in sides.shipped.procedures.values():
                if task in procedure.resets:
                    yield ProcedureNotKept(
                        f"{procedure.id}.resets",
                        f"“{mine.title}” counts for {task}, and is not the published "
                        f"“{procedure.title}”.",
                        (f"{mine.where}.resets", f"{procedure.where}.resets"),
                        mine.id,
                    )
                    break


def _rows(sides: StepSides, folder: str) -> Iterator[ProcedureNotKept]:
    for kind in KINDS:
        differs = kind.otherwise or partial(otherwise, sides=sides)
        mine: dict[str, list[Any]] = {}
        for row in kind.rows(sides.own):
            if (kind.name, kind.id_of(row)) not in sides.own.of_core:
                mine.setdefault(kind.id_of(row), []).append(row)
        for variants in _by_id(kind.rows(sides.shipped), kind.id_of):
            row = variants[0]
            found = lost(variants, mine.get(kind.id_of(row), []), differs, {})
            if found:
                says, other = found
                place = other.where if other else folder
                yield ProcedureNotKept(
                    kind.named(row),
                    f"{kind.told(row, sides.shipped)}: {says}.",
                    (place, row.where),
                )


def _by_id(
    rows: Iterable[T], id_of: Callable[[Any], str] = attrgetter("id")
) -> list[list[T]]:
    """Return statements in groups of one id, in their order."""
    groups: dict[str, list[T]] = {}
    for row in rows:
        groups.setdefault(id_of(row), []).append(row)
    return list(groups.values())
