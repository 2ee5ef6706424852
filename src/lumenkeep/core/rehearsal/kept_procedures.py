"""What a set keeps of the published procedures, and what it says in another order."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.kept import Sides
from lumenkeep.core.asepsis.kept import not_kept as _not_kept
from lumenkeep.core.asepsis.kept import said_anew as _said_anew
from lumenkeep.core.asepsis.read import read_bedside
from lumenkeep.core.asepsis.texts import told
from lumenkeep.core.rehearsal.procedure_files import bedside_of, files_of

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.kept import NotKept
    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.core import Core


@lru_cache(maxsize=16)
def not_kept(policy: Policy, day: date) -> tuple[NotKept, ...]:
    """Return what a set neither keeps of the published procedures nor names openly.

    Parameters
    ----------
    day
        From this day on every value counts, those of later days too.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    sides = _sides(policy, day)
    if sides is None:
        return ()
    of_rules = policy.core.numbers if policy.core else {}
    found = _not_kept(
        sides,
        loosened=_loosened(policy),
        elsewhere={floor.number for floor in policy.floors} | of_rules.keys(),
        folder=policy.folder,
    )
    return tuple(found)


@lru_cache(maxsize=16)
def said_anew(policy: Policy) -> tuple[str, ...]:
    """Return what a set does in another order than published, by procedure.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    sides = _sides(policy, date.min)
    return tuple(_said_anew(sides, loosened=_loosened(policy))) if sides else ()


def _loosened(policy: Policy) -> frozenset[str]:
    return frozenset(one.id for one in policy.loosened)


def _sides(policy: Policy, day: date) -> Sides | None:
    """Return both sides; None where nothing published was kept with the set."""
    if policy.core is None or policy.core.procedures is None:
        return None
    return Sides(told(_shipped(policy.core), day), bedside_of(policy, day), day)


@lru_cache(maxsize=16)
def _shipped(core: Core) -> Bedside:
    """Return the procedures as published, with the numbers published beside them."""
    return read_bedside([files_of(core.procedures)] if core.procedures else [], core)
