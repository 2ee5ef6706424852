"""Hold procedures to the rules of asepsis that count for every set.

A set's own file of rules takes the place of the one that it extends, and may hold
nothing. What the shipped set states counts all the same: rules, what a procedure must
not forget, and what must hold where it ends, with the moves that reach it; unless the
set loosens one by its id.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Protocol

from lumenkeep.core.asepsis.read_rows import (
    read_head,
    read_item,
    read_kind,
    read_needed,
    read_rule,
    read_safe,
    read_step,
)
from lumenkeep.core.model.reading import Reader
from lumenkeep.core.policy.core import CORE
from lumenkeep.core.policy.procedure_ids import MOVE
from lumenkeep.core.policy.read_basics import Gathered, read_number, read_source
from lumenkeep.core.policy.row_texts import names_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from lumenkeep.core.asepsis.procedure import Bedside, SafeEnding

NOT_MEANT = frozenset(("rule", "says", "mend", "because", "source", "how", "where"))
"""How a rule is told, and not what it decides."""
RULES = {
    "rule": "rules",
    "needed": "needed",
    "safe": "safe",
    "head": "heads",
    "kind": "kinds",
}
"""Kinds of rule that count for every set, and where a set's procedures keep them."""


READ: Mapping[str, Callable[[Reader, Gathered], Any]] = {
    "rule": read_rule,
    "needed": read_needed,
    "safe": read_safe,
    "head": read_head,
    "kind": read_kind,
    "move": read_step,
    "item": read_item,
}
"""What is taken from the core, and what reads one row of each."""


class CoreFiles(Protocol):
    """The shipped procedure files, parsed; the same object wherever they are meant."""

    @property
    def name(self) -> str:
        """Name of the set."""

    @property
    def tables(self) -> Mapping[str, Mapping[str, Any]]:
        """What each file holds."""

    def __hash__(self) -> int: ...


@dataclass(frozen=True, slots=True)
class _Core:
    rows: Mapping[str, Sequence[Any]]
    numbers: Mapping[str, Any]
    sources: Mapping[str, Any]


def held_to_core(
    bedside: Bedside, files: CoreFiles, loosened: Collection[str]
) -> Bedside:
    """Return the procedures with every rule of the core that they do not state alike.

    Parameters
    ----------
    files
        The shipped procedure files.
    loosened
        Ids of what the set does not hold itself to.
    """
    if not bedside.procedures:
        return bedside
    core = _read(files)
    more: dict[str, list[Any]] = {
        kind: _missing(core.rows[kind], getattr(bedside, name), loosened)
        for kind, name in RULES.items()
    }
    if not any(more.values()):
        return bedside
    # What reaches a safe ending comes with it, and what that uses.
    known = {move.id for move in bedside.moves}
    moves = [
        move
        for move in core.rows["move"]
        if move.id in {id_ for one in more["safe"] for id_ in one.does} - known
        and f"{MOVE}{move.id}" not in loosened
    ]
    used = {item for move in moves for item, _ in move.uses}
    items = {one.id: one for one in core.rows["item"] if one.id in used}
    known |= {move.id for move in moves}
    more["safe"] = [_reached_by(one, known) for one in more["safe"]]
    changes: dict[str, Any] = {
        name: (*getattr(bedside, name), *more[kind]) for kind, name in RULES.items()
    }
    return replace(
        bedside,
        **changes,
        moves=(*bedside.moves, *moves),
        items={**items, **bedside.items},
        numbers={**core.numbers, **bedside.numbers},
        sources={**core.sources, **bedside.sources},
        of_core=frozenset(
            (
                *((kind, row.id) for kind, rows in more.items() for row in rows),
                *(("move", move.id) for move in moves),
                *(("item", id_) for id_ in items if id_ not in bedside.items),
            )
        ),
    )


@lru_cache(maxsize=1)
def _read(files: CoreFiles) -> _Core:
    """Return what the shipped files state; they were checked when they were shipped."""
    into = Gathered()
    readers = [
        Reader(table, f"{files.name}/{name}: ", into.faults, "policy")
        for name, table in files.tables.items()
    ]
    rows = {
        key: [read_one(row, into) for reader in readers for row in reader.rows(key)]
        for key, read_one in READ.items()
    }
    read_named: tuple[tuple[str, Callable[[Reader, str, Gathered], None]], ...]
    read_named = (("number", _number), ("source", _source))
    for reader in readers:
        for key, read_one in read_named:
            table = reader.table(key)
            for id_ in table.every_key() if table else ():
                row = table.table(id_) if table else None
                if row is not None:
                    read_one(row, id_, into)
    return _Core(rows, into.numbers, into.sources)


def _reached_by(safe: SafeEnding, moves: Collection[str]) -> SafeEnding:
    """Return a safe ending with those of its moves that the set has, or does not name."""
    return replace(safe, does=tuple(move for move in safe.does if move in moves))


def _number(row: Reader, id_: str, into: Gathered) -> None:
    read_number(row, id_, into)


def _source(row: Reader, id_: str, into: Gathered) -> None:
    into.sources[id_] = read_source(row, id_, into)


def _missing(
    rows: Sequence[Any], own: Iterable[Any], loosened: Collection[str]
) -> list[Any]:
    """Return the core's rows that nothing of the set's says alike, nor loosens."""
    said = {row.id: row for row in own}
    found = []
    for row in rows:
        mine = said.get(row.id)
        if row.id in loosened or (mine is not None and _meant(mine) == _meant(row)):
            continue
        found.append(row if mine is None else replace(row, id=CORE + row.id))
    return found


def _meant(row: Any) -> list[tuple[str, object]]:
    return [
        (name, getattr(row, name)) for name in names_of(row) if name not in NOT_MEANT
    ]
