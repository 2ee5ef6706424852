"""Hold procedures to the rules of asepsis that count for every set.

A set's own file of rules takes the place of the one that it extends, and may hold
nothing. What the shipped set states counts all the same: rules, what a procedure must
not forget, and what must hold where it ends, with the moves that reach it; unless the
set loosens one by its id.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

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

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

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


def held_to_core(
    bedside: Bedside, tables: Mapping[str, Mapping[str, Any]], loosened: Collection[str]
) -> Bedside:
    """Return the procedures with every rule of the core that they do not state alike.

    Parameters
    ----------
    tables
        The shipped procedure files, parsed, by the place that messages name.
    loosened
        Ids of what the set does not hold itself to.
    """
    if not bedside.procedures:
        return bedside
    into = Gathered()
    readers = [
        Reader(table, name, into.faults, "policy") for name, table in tables.items()
    ]

    def of_core(key: str, read_one: Any) -> list[Any]:
        return [read_one(row, into) for reader in readers for row in reader.rows(key)]

    more: dict[str, list[Any]] = {
        "rule": _missing(of_core("rule", read_rule), bedside.rules, loosened),
        "needed": _missing(of_core("needed", read_needed), bedside.needed, loosened),
        "safe": _missing(of_core("safe", read_safe), bedside.safe, loosened),
        "head": _missing(of_core("head", read_head), bedside.heads, loosened),
        "kind": _missing(of_core("kind", read_kind), bedside.kinds, loosened),
    }
    if not any(more.values()):
        return bedside
    # What reaches a safe ending comes with it, and what that uses.
    known = {move.id for move in bedside.moves}
    moves = [
        move
        for move in of_core("move", read_step)
        if move.id in {id_ for one in more["safe"] for id_ in one.does} - known
        and f"{MOVE}{move.id}" not in loosened
    ]
    used = {item for move in moves for item, _ in move.uses}
    items = {one.id: one for one in of_core("item", read_item) if one.id in used}
    known |= {move.id for move in moves}
    more["safe"] = [_reached_by(one, known) for one in more["safe"]]
    for reader in readers:
        for key, read_one in (("number", _number), ("source", _source)):
            table = reader.table(key)
            for id_ in table.every_key() if table else ():
                row = table.table(id_) if table else None
                if row is not None:
                    read_one(row, id_, into)
    changes: dict[str, Any] = {
        name: (*getattr(bedside, name), *more[kind]) for kind, name in RULES.items()
    }
    return replace(
        bedside,
        **changes,
        moves=(*bedside.moves, *moves),
        items={**items, **bedside.items},
        numbers={**into.numbers, **bedside.numbers},
        sources={**into.sources, **bedside.sources},
        of_core=frozenset(
            (
                *((kind, row.id) for kind, rows in more.items() for row in rows),
                *(("move", move.id) for move in moves),
                *(("item", id_) for id_ in items if id_ not in bedside.items),
            )
        ),
    )


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
        (one.name, getattr(row, one.name))
        for one in fields(row)
        if one.name not in NOT_MEANT
    ]
