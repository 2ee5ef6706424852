"""The core: what counts for every set, also for one that extends nothing or a copy.

Base requirements, floors and sane spans lie in the shipped set that says what is so of
the world. A set may be stricter. What it leaves out, or says otherwise, counts all the
same, under an id and with numbers that no set can touch; unless the set loosens it by
id, openly, with its reason and its source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast

from lumenkeep.core.model.reading import Reader
from lumenkeep.core.policy.numbers import Number
from lumenkeep.core.policy.procedure_ids import ids_of_procedures
from lumenkeep.core.policy.read_basics import (
    INSIDE,
    Gathered,
    RuleReader,
    read_number,
    read_source,
)
from lumenkeep.core.policy.read_rules import KINDS, read_agent
from lumenkeep.core.policy.rules import Agent, Rule, Source
from lumenkeep.core.policy.texts import SetTexts

CORE = "core:"
"""How the id of a rule or number begins that counts whatever a set says."""
FIELDS = {"require": "requirements", "floor": "floors", "sane": "sane"}
"""Kinds of rule that count beside what a set says, and where a policy keeps them."""
OF_THE_WORLD = ("bound", "plausible")
"""Kinds that are so whoever writes the rules (see `lumenkeep.core.policy.world`)."""
AGENT = "agent"


@dataclass(frozen=True, slots=True, eq=False)
class Core:
    """The shipped statements that count for every set, and what they rest on.

    As with policies, two are the same only if they are one object.

    Attributes
    ----------
    rules
        Those that count beside what a set says, by kind and id, as shipped.
    statements
        Those that a set keeps, by kind and id; antiseptics too.
    bounds
        Ids of the bounds of the world, whose ends are numbers.
    numbers, sources
        By id, as shipped.
    procedures
        The shipped files of procedures, whose rules of asepsis count for every set.
    """

    rules: Mapping[str, Mapping[str, Rule]]
    statements: Mapping[str, Mapping[str, Rule]]
    bounds: frozenset[str]
    numbers: Mapping[str, Number]
    sources: Mapping[str, Source]
    procedures: SetTexts | None = None

    @property
    def agents(self) -> Mapping[str, Agent]:
        """Antiseptics, as published, by id."""
        return cast("Mapping[str, Agent]", self.statements[AGENT])

    @property
    def ids(self) -> frozenset[str]:
        """Every id that a set may loosen; not those of procedures."""
        kinds = (*self.rules.values(), *self.statements.values())
        return frozenset(
            (
                *(id_ for stated in kinds for id_ in stated),
                *(id_ for id_ in self.numbers if INSIDE not in id_),
            )
        )

    @property
    def ids_of_procedures(self) -> frozenset[str]:
        """Every id of the published procedures that a set may loosen."""
        return ids_of_procedures(self.procedures.procedures if self.procedures else ())


def read_core(
    tables: Mapping[str, Mapping[str, Any]], name: str, procedures: SetTexts | None
) -> Core:
    """Return the core as the shipped set states it.

    Parameters
    ----------
    tables
        Parsed TOML by file name; what is wrong in them is told when they are read as
        a set.
    name
        What messages call that set.
    procedures
        Its files of procedures, as text.
    """
    into = Gathered()
    readers = [
        Reader(table, f"{name}/{file}: ", into.faults, "policy")
        for file, table in tables.items()
    ]
    agents = tuple(id_ for r in readers for id_ in r.data.get(AGENT) or {})
    reading = RuleReader(into, agents)
    found: dict[str, dict[str, Rule]] = {kind: {} for kind in (AGENT, *KINDS)}
    for reader in readers:
        for id_, row in _tables(reader, "number"):
            read_number(row, id_, into)
        for id_, row in _tables(reader, "source"):
            into.sources[id_] = read_source(row, id_, into)
        for id_, row in _tables(reader, AGENT):
            found[AGENT][id_] = read_agent(row, id_, reading)
        for kind, read_one in KINDS.items():
            for row in reader.rows(kind):
                rule = read_one(row, reading)
                found[kind][rule.id] = rule
    kept = found.keys() - FIELDS.keys() - set(OF_THE_WORLD)
    return Core(
        rules={kind: found[kind] for kind in FIELDS},
        statements={kind: found[kind] for kind in found if kind in kept},
        bounds=frozenset(found["bound"]),
        numbers=into.numbers,
        sources=into.sources,
        procedures=procedures,
    )


def _tables(reader: Reader, key: str) -> list[tuple[str, Reader]]:
    table = reader.table(key)
    rows = [(id_, table.table(id_)) for id_ in table.every_key()] if table else []
    return [(id_, row) for id_, row in rows if row is not None]
