"""Read the procedures that a policy set carries, and what it keeps of the published ones."""

from __future__ import annotations

import hashlib
from bisect import bisect_right
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.kept import StepSides
from lumenkeep.core.asepsis.kept import not_kept as _not_kept
from lumenkeep.core.asepsis.kept import said_anew as _said_anew
from lumenkeep.core.asepsis.read import ProcedureFiles, read_bedside
from lumenkeep.core.asepsis.texts import told
from lumenkeep.core.policy.file_text import tables_of
from lumenkeep.core.policy.files import SHIPPED_FOLDER, load_policy
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.asepsis.kept import ProcedureNotKept
    from lumenkeep.core.asepsis.procedure import Bedside, Procedure
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.core import Core
    from lumenkeep.core.policy.texts import SetTexts

DRESSING = "dressing"
"""The due task that a change of a dressing starts anew."""


def bedside_of(policy: Policy, day: date | None = None) -> Bedside:
    """Return what a policy says about procedures, its sentences filled for a day.

    Without a day they are filled from the newest numbers. A version recorded before
    procedures were part of a set has none; it takes those that are shipped now under
    the names of the sets it was made of.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    starts = days_of_numbers(policy)
    place = len(starts) if day is None else bisect_right(starts, day)
    return _told(policy, starts[max(place - 1, 0)] if starts else date.min)


@lru_cache(maxsize=16)
def bedside_written(policy: Policy) -> Bedside:
    """Return the same as it is written, its sentences not yet filled.

    Raises
    ------
    PolicyError
        As `bedside_of`.
    """
    core = policy.core.procedures if policy.core else None
    return read_bedside(
        [files_of(texts) for texts in _layers(policy)],
        policy,
        files_of(core) if core else None,
        {one.id for one in policy.loosened},
    )


@lru_cache(maxsize=64)
def _told(policy: Policy, start: date) -> Bedside:
    return told(bedside_written(policy), start)


@lru_cache(maxsize=16)
def days_of_numbers(policy: Policy) -> tuple[date, ...]:
    """Return every day on which a number of the rules or the procedures begins."""
    numbers = bedside_written(policy).numbers.values()
    return tuple(sorted({value.start for one in numbers for value in one.values}))


def procedures_digest(policy: Policy) -> str:
    """Return what changes when a procedure of a policy changes."""
    digest = hashlib.sha256()
    for layer in _layers(policy):
        for name, text in layer.procedures:
            digest.update(name.encode() + b"\0" + text.encode() + b"\0")
    return digest.hexdigest()


def change_procedure(bedside: Bedside) -> Procedure | None:
    """Return the procedure that a change plan is made for; None where a set has none."""
    return next(iter(change_procedures(bedside)), None)


def change_procedures(bedside: Bedside) -> tuple[Procedure, ...]:
    """Return the procedures that change a dressing and nothing else.

    More than one is a fault of the set, which its proof names. A procedure that changes
    a needle too has a dressing come off on the way, and no plan is made for it.
    """
    written = bedside.procedures.values()
    return tuple(one for one in written if set(one.resets) == {DRESSING})


def _layers(policy: Policy) -> Iterable[SetTexts]:
    if any(layer.files for layer in policy.procedures):
        return policy.procedures
    return [
        texts
        for layer in policy.procedures
        if (SHIPPED_FOLDER / layer.name).is_dir()
        for texts in load_policy(layer.name).procedures
        if texts.name == layer.name
    ]


@lru_cache(maxsize=64)
def files_of(texts: SetTexts) -> ProcedureFiles:
    """Return the procedure files of a set, parsed, with what went wrong in it."""
    tables: dict[str, dict[str, Any]] = {}
    faults: list[Fault] = []
    for name, text in texts.procedures:
        held = tables_of(text, f"{texts.name}/{name}")
        if isinstance(held, Fault):
            faults.append(held)
        else:
            tables[name] = held
    return ProcedureFiles(texts.name, tables, tuple(faults))


@lru_cache(maxsize=16)
def not_kept(policy: Policy, day: date) -> tuple[ProcedureNotKept, ...]:
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


def _sides(policy: Policy, day: date) -> StepSides | None:
    """Return both sides; None where nothing published was kept with the set."""
    if policy.core is None or policy.core.procedures is None:
        return None
    return StepSides(told(_shipped(policy.core), day), bedside_of(policy, day), day)


@lru_cache(maxsize=16)
def _shipped(core: Core) -> Bedside:
    """Return the procedures as published, with the numbers published beside them."""
    return read_bedside([files_of(core.procedures)] if core.procedures else [], core)
