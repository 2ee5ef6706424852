"""What a set may loosen of the published procedures, by id.

A step is named with its procedure, as "dressing-change.D12", or with the shared part it
lies in, as "preparation.PR6", for all procedures at once. Slips, moves, items and what
lies in the room are named with their kind, for their ids are those of other things too.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.file_text import parsed

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

RULES = ("rule", "needed", "safe", "head", "kind")
"""Kinds of rule in procedure files, each named by its own id."""
MOVE = "move."
"""How the id of a move begins."""
KINDS = {"slip": "id", "move": "id", "item": "id", "spare": "item"}
"""Kinds that are named with their kind, and the key that holds the id of each."""
HEAD = ("vary", "repeat", "starts", "ends", "resets")
"""Parts of a procedure as a whole."""
OWN_STEPS = "own"


@lru_cache(maxsize=16)
def ids_of_procedures(files: tuple[tuple[str, str], ...]) -> frozenset[str]:
    """Return every id that procedure files give, name and text of each, to loosen."""
    tables = [parsed(text) for _, text in files]
    steps = {
        str(table["part"].get("id")): _ids(table, "step")
        for table in tables
        if "part" in table
    }
    found: set[str] = set()
    for table in tables:
        found.update(id_ for kind in RULES for id_ in _ids(table, kind))
        for kind, key in KINDS.items():
            found.update(f"{kind}.{id_}" for id_ in _ids(table, kind, key))
        found.update(table.get("number", ()))
        if "procedure" in table:
            found.update(_of_procedure(table, steps))
    found.update(f"{part}.{id_}" for part, ids in steps.items() for id_ in ids)
    return frozenset(found)


def _of_procedure(
    table: Mapping[str, Any], parts: Mapping[str, list[str]]
) -> Iterator[str]:
    head = table["procedure"]
    procedure = str(head.get("id"))
    yield procedure
    yield from (f"{procedure}.{part}" for part in HEAD)
    for part in head.get("parts") or (OWN_STEPS,):
        steps = _ids(table, "step") if part == OWN_STEPS else parts.get(part, [])
        yield from (f"{procedure}.{id_}" for id_ in steps)


def _ids(table: Mapping[str, Any], kind: str, key: str = "id") -> list[str]:
    return [str(row.get(key)) for row in table.get(kind, ())]
