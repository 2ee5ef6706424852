"""A set of layers taken apart into the parts that a person edits one at a time.

A part is a number, a source, a rule, or the set's own table. What the draft does not
say itself it has from below; a part that says the same as below is not kept twice.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.texts import is_procedure
from lumenkeep.core.policy.write import file_text, value_text

if TYPE_CHECKING:
    from lumenkeep.core.policy.archive import SetTexts

NAMED = ("number", "source", "agent")
SET = "set"
FILE_OF = {
    "number": "numbers.toml",
    "source": "sources.toml",
    "agent": "antiseptics.toml",
    SET: "set.toml",
}
RULES_FILE = "rules.toml"
STAMP_LENGTH = 16

Table = Mapping[str, Any]


def stamp_of(table: Table | None) -> str:
    """Return a short mark by which a part is known to be unchanged."""
    text = "" if table is None else value_text(table)
    return hashlib.sha256(text.encode()).hexdigest()[:STAMP_LENGTH]


@dataclass(frozen=True)
class Parts:
    """The parts of a draft.

    Attributes
    ----------
    below
        Tables by file name of each layer below, lowest first.
    own
        Tables by file name of the draft's own files.
    texts
        The draft's own files as they stand.
    """

    below: tuple[Mapping[str, Table], ...]
    own: Mapping[str, Table]
    texts: Mapping[str, str]

    @classmethod
    def of(cls, layers: Sequence[SetTexts]) -> Parts:
        """Return the parts of layers, the last of which is the draft's own."""
        *below, top = layers
        return cls(
            tuple(_tables(layer) for layer in below), _tables(top), dict(top.files)
        )

    # ------------------------------------------------------------- reading

    @cached_property
    def set_table(self) -> Table:
        """The draft's own ``[set]`` table."""
        return next((t[SET] for t in self.own.values() if SET in t), {})

    @cached_property
    def _inherited(self) -> dict[str, dict[str, Table]]:
        found: dict[str, dict[str, Table]] = {}
        for layer in self.below:
            removed: set[str] = set()
            for tables in layer.values():
                removed |= set(tables.get(SET, {}).get("remove", ()))
            for items in found.values():
                for id_ in removed & set(items):
                    del items[id_]
            for tables in layer.values():
                _gather(tables, found)
        return found

    @cached_property
    def _own(self) -> dict[str, dict[str, Table]]:
        found: dict[str, dict[str, Table]] = {}
        for tables in self.own.values():
            _gather(tables, found)
        return found

    @property
    def removed(self) -> tuple[str, ...]:
        """Ids of the rules from below that the draft takes out."""
        return tuple(self.set_table.get("remove", ()))

    def inherited(self, kind: str, id_: str) -> Table | None:
        """Return the part as it comes from below."""
        if kind == SET:
            return {}
        return self._inherited.get(kind, {}).get(id_)

    def table(self, kind: str, id_: str) -> Table | None:
        """Return the part as it counts in the draft; None where there is none."""
        if kind == SET:
            return self.set_table
        own = self._own.get(kind, {}).get(id_)
        if own is not None:
            return own
        return None if id_ in self.removed else self.inherited(kind, id_)

    def ids(self, kind: str) -> list[str]:
        """Return the ids of a kind, those from below first, in their order."""
        both = [*self._inherited.get(kind, {}), *self._own.get(kind, {})]
        return [i for i in dict.fromkeys(both) if self.table(kind, i) is not None]

    def every_id(self) -> set[str]:
        """Return all ids in use, of whatever kind, taken-out ones included."""
        return {
            id_
            for found in (self._inherited, self._own)
            for items in found.values()
            for id_ in items
        }

    def is_own(self, kind: str, id_: str) -> bool:
        """Return whether the draft itself says this part."""
        return id_ in self._own.get(kind, {})

    def of_the_set(self, key: str) -> Any:
        """Return a value of the ``[set]`` table, the draft's or the nearest below."""
        for tables in (self.own, *reversed(self.below)):
            for table in tables.values():
                if key in table.get(SET, {}):
                    return table[SET][key]
        return None

    def changed(self) -> list[tuple[str, str]]:
        """Return kind and id of every part that the draft says or takes out."""
        said = [(kind, id_) for kind, items in self._own.items() for id_ in items]
        gone = [
            (kind, id_)
            for kind, items in self._inherited.items()
            for id_ in items
            if id_ in self.removed and not self.is_own(kind, id_)
        ]
        return said + gone

    def places(self, kind: str, id_: str) -> tuple[str, ...]:
        """Return how a fault's ``where`` begins when it speaks of this part."""
        found = []
        for name, tables in self.own.items():
            if kind in NAMED and id_ in tables.get(kind, {}):
                found.append(f"{name}: {kind}.{id_}")
            elif kind == SET and SET in tables:
                found.append(f"{name}: {SET}")
            elif kind not in NAMED and kind != SET:
                found += [
                    f"{name}: {kind}[{place}]"
                    for place, row in enumerate(tables.get(kind, ()))
                    if row.get("id") == id_
                ]
        return tuple(found)

    # ------------------------------------------------------------- writing

    def with_part(self, kind: str, id_: str, table: Table) -> dict[str, str]:
        """Return the draft's files with the part as given."""
        if kind == SET:
            return self._written(_put_set(self.own, table))
        own: Mapping[str, Table] = _without(self.own, kind, id_)
        removed = [one for one in self.removed if one != id_]
        own = _put_set(own, _with_removed(self.set_table, removed))
        if stamp_of(table) != stamp_of(self.inherited(kind, id_)):
            own = _put(own, self._file_of(kind, id_), kind, id_, table)
        return self._written(own)

    def without_part(self, kind: str, id_: str) -> dict[str, str]:
        """Return the draft's files with the part taken out, from below too."""
        own: Mapping[str, Table] = _without(self.own, kind, id_)
        if self.inherited(kind, id_) is not None and id_ not in self.removed:
            table = _with_removed(self.set_table, [*self.removed, id_])
            own = _put_set(own, table)
        return self._written(own)

    def as_below(self, kind: str, id_: str) -> dict[str, str]:
        """Return the draft's files with the part as it comes from below."""
        removed = [one for one in self.removed if one != id_]
        own: Mapping[str, Table] = _without(self.own, kind, id_)
        return self._written(_put_set(own, _with_removed(self.set_table, removed)))

    def _file_of(self, kind: str, id_: str) -> str:
        for name, tables in self.own.items():
            items = tables.get(kind, {})
            ids = items if kind in NAMED else [row.get("id") for row in items]
            if id_ in ids:
                return name
        return FILE_OF.get(kind, RULES_FILE)

    def _written(self, own: Mapping[str, Table]) -> dict[str, str]:
        """Return texts; a file in which nothing changed keeps its own.

        Procedures are edited as whole files, never part by part.
        """
        texts = {name: text for name, text in self.texts.items() if is_procedure(name)}
        for name, tables in own.items():
            kept = {key: value for key, value in tables.items() if value}
            if kept and kept == self.own.get(name):
                texts[name] = self.texts[name]
            elif kept:
                texts[name] = file_text(kept)
        return texts


def _tables(layer: SetTexts) -> dict[str, Table]:
    return {name: tomllib.loads(text) for name, text in layer.rules}


def _gather(tables: Table, into: dict[str, dict[str, Table]]) -> None:
    for kind, items in tables.items():
        if kind == SET:
            continue
        if isinstance(items, Mapping):
            into.setdefault(kind, {}).update(items)
        else:
            known = into.setdefault(kind, {})
            known.update({row.get("id", ""): row for row in items})


def _without(
    own: Mapping[str, Table], kind: str, id_: str
) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for name, tables in own.items():
        copy = dict(tables)
        if kind in NAMED and kind in copy:
            copy[kind] = {i: t for i, t in copy[kind].items() if i != id_}
        elif kind in copy:
            copy[kind] = [row for row in copy[kind] if row.get("id") != id_]
        found[name] = copy
    return found


def _put(
    own: Mapping[str, Table], name: str, kind: str, id_: str, table: Table
) -> dict[str, Table]:
    tables = dict(own.get(name, {}))
    if kind in NAMED:
        tables[kind] = {**tables.get(kind, {}), id_: table}
    else:
        tables[kind] = [*tables.get(kind, []), table]
    return {**own, name: tables}


def _put_set(own: Mapping[str, Table], table: Table) -> dict[str, Table]:
    name = next((n for n, t in own.items() if SET in t), FILE_OF[SET])
    return {**own, name: {**own.get(name, {}), SET: table}}


def _with_removed(table: Table, removed: Sequence[str]) -> Table:
    kept = {key: value for key, value in table.items() if key != "remove"}
    return {**kept, "remove": list(removed)} if removed else kept
