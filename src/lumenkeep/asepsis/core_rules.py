"""Hold procedures to the rules of asepsis that count for every set.

A set's own file of rules takes the place of the one that it extends, and may hold
nothing. What the shipped set states counts all the same: rules, what a procedure must
not forget, and what must hold where it ends; unless the set loosens one by its id.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any, TypeVar

from lumenkeep.asepsis.read_rows import (
    read_head,
    read_kind,
    read_needed,
    read_rule,
    read_safe,
)
from lumenkeep.model.reading import Reader
from lumenkeep.policy.core import CORE
from lumenkeep.policy.read_basics import Gathered, read_number, read_source

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from lumenkeep.asepsis.procedure import Bedside

T = TypeVar("T")
NOT_MEANT = frozenset(("rule", "says", "mend", "because", "source", "how", "where"))
"""How a rule is told, and not what it decides."""


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

    def of_core(key: str, read_one: Any, own: Sequence[T]) -> tuple[T, ...]:
        rows = [read_one(row, into) for reader in readers for row in reader.rows(key)]
        return (*own, *_missing(rows, own, loosened))

    known = {move.id for move in bedside.moves}
    safe = of_core("safe", read_safe, bedside.safe)
    changes: dict[str, Any] = {
        "rules": of_core("rule", read_rule, bedside.rules),
        "needed": of_core("needed", read_needed, bedside.needed),
        "heads": of_core("head", read_head, bedside.heads),
        "kinds": of_core("kind", read_kind, bedside.kinds),
        "safe": tuple(
            one
            if one in bedside.safe
            else replace(one, does=tuple(move for move in one.does if move in known))
            for one in safe
        ),
    }
    if all(len(new) == len(getattr(bedside, key)) for key, new in changes.items()):
        return bedside
    for reader in readers:
        for key, read_one in (("number", _number), ("source", _source)):
            table = reader.table(key)
            for id_ in table.every_key() if table else ():
                row = table.table(id_) if table else None
                if row is not None:
                    read_one(row, id_, into)
    return replace(
        bedside,
        numbers={**into.numbers, **bedside.numbers},
        sources={**into.sources, **bedside.sources},
        **changes,
    )


def _number(row: Reader, id_: str, into: Gathered) -> None:
    read_number(row, id_, into)


def _source(row: Reader, id_: str, into: Gathered) -> None:
    into.sources[id_] = read_source(row, id_, into)


def _missing(
    rows: Sequence[Any], own: Sequence[Any], loosened: Collection[str]
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
