"""Read what a set says of itself: the table [set]."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.reading import shown
from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.policy.read_basics import refuse_empty
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from lumenkeep.core.model.reading import Reader
    from lumenkeep.core.policy.policy import Policy

SET_ID = re.compile(r"[A-Za-z0-9]+(-[A-Za-z0-9]+)*")


@dataclass(frozen=True, slots=True)
class SetHead:
    """What a set says of itself."""

    id: str
    id_where: str
    title: str
    version: str
    call: str
    antiseptics: tuple[str, ...]
    dressings: tuple[str, ...]
    remove: tuple[str, ...]
    remove_where: str
    abstract: bool


def read_meta(readers: Mapping[str, Reader], name: str, faults: list[Fault]) -> SetHead:
    """Return what the one table [set] of a set's files says.

    Parameters
    ----------
    readers
        By file name.
    name
        What messages call the set.
    faults
        Where it is noted that there is none, or more than one.
    """
    holders = [r for r in readers.values() if "set" in r.data]
    if len(holders) != 1:
        faults.append(
            Fault(
                "policy-no-set-table",
                f"{len(holders)} of the set's files have a [set] table.",
                name,
                "put one [set] table with id, title, version and call into set.toml",
            )
        )
    table = holders[0].table("set") if holders else None
    if table is None:
        return SetHead("", name, "", "", "", (), (), (), name, abstract=False)
    return read_head(table)


def read_head(table: Reader) -> SetHead:
    """Return what the table [set] says."""
    meta = SetHead(
        id=_set_id(table),
        id_where=table.path("id"),
        title=table.text("title", needed=True) or "",
        version=table.text("version", needed=True) or "",
        abstract=table.flag("abstract"),
        call=table.text("call", needed=True) or "",
        antiseptics=_order(table, "antiseptics", None),
        dressings=_order(table, "dressings", DRESSINGS),
        remove=table.words("remove", None),
        remove_where=table.path("remove"),
    )
    table.text("extends")
    table.finish()
    return meta


def _set_id(table: Reader) -> str:
    id_ = table.text("id", needed=True) or ""
    if id_ and not SET_ID.fullmatch(id_):
        table.fault(
            "bad-set-id",
            f"{shown(id_)} cannot be the id of a set.",
            "id",
            'write letters and digits, with hyphens between, as in "north-ward"',
        )
    return id_


def _order(table: Reader, key: str, allowed: Collection[str] | None) -> tuple[str, ...]:
    """Return what is tried one after the other; a fault for nothing, or one twice."""
    refuse_empty(table, key, "leave the key out to keep the order of the set below")
    words = table.words(key, allowed)
    for position, word in enumerate(words):
        if word in words[:position]:
            table.fault(
                "twice-in-order",
                f"'{word}' stands twice in the order in which {key} are tried.",
                f"{key}[{position}]",
                f"keep it once, where it is to be tried; it stands first at {key}"
                f"[{words.index(word)}]",
            )
    return words


def base_faults(meta: SetHead, base: Policy | None) -> list[Fault]:
    """Return a fault where a set is called by the id of a set that it extends."""
    if base is None or meta.id not in {one.id for one in base.layers}:
        return []
    return [
        Fault(
            "policy-id-of-base",
            f"'{meta.id}' is the id of the set that this one extends, so nobody could "
            "say by which of the two a child was judged.",
            meta.id_where,
            'give this set an id of its own, as in id = "north-ward"',
        )
    ]
