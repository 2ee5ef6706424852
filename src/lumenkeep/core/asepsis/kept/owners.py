"""Whose a step of a shared part is: the part's, where all its procedures say one thing.

A step of the preparation that is gone is told once, and not for every procedure.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.procedure import Step

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from lumenkeep.core.asepsis.procedure import Bedside


@dataclass(frozen=True, slots=True)
class OfStep:
    """Something that is to be said of a step of a procedure.

    Attributes
    ----------
    step
        The published one.
    places
        Where it stands, the set's own place first.
    """

    procedure: str
    step: Step
    says: str
    places: tuple[str, ...] = ()


def part_of(step: Step, shipped: Bedside) -> str | None:
    """Return the shared part that a published step lies in; None for a procedure's own."""
    return shipped.parts.get(step.where.partition(": ")[0])


def is_named(
    procedure: str, step: Step, shipped: Bedside, loosened: Collection[str]
) -> bool:
    """Return whether a set names a step openly: by its procedure, or by its part."""
    owners = (procedure, part_of(step, shipped))
    names = {procedure, *(f"{owner}.{step.id}" for owner in owners if owner)}
    return not names.isdisjoint(loosened)


def owned(
    found: Sequence[OfStep], shipped: Bedside, procedures: Collection[str]
) -> Iterator[tuple[str, OfStep]]:
    """Yield each thing with its owner: a procedure, or a part for all of its procedures.

    Parameters
    ----------
    procedures
        Ids of those that were looked at.
    """
    told: set[tuple[str, str, str]] = set()
    for one in found:
        part = part_of(one.step, shipped)
        same = {o.procedure for o in found if _key(o) == _key(one)}
        if part is None or same != _with_part(part, shipped, procedures):
            yield one.procedure, one
        elif (part, *_key(one)) not in told:
            told.add((part, *_key(one)))
            yield part, one


def _key(one: OfStep) -> tuple[str, str]:
    return one.step.id, one.says


def _with_part(part: str, shipped: Bedside, procedures: Collection[str]) -> set[str]:
    return {
        id_
        for id_ in procedures
        if any(part_of(s, shipped) == part for s in shipped.procedures[id_].steps)
    }
