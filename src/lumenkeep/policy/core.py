"""The core: what counts for every set, also for one that extends nothing or a copy.

Base requirements, floors and sane spans lie in the shipped set that says what is so of
the world. A set may be stricter. What it leaves out, or says otherwise, counts all the
same, under an id and with numbers that no set can touch; unless the set loosens it by
id, openly, with its reason and its source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, cast

from lumenkeep.model.reading import Reader
from lumenkeep.policy.numbers import Number
from lumenkeep.policy.procedure_ids import ids_of_procedures
from lumenkeep.policy.read_basics import Gathered, Reading, read_number, read_source
from lumenkeep.policy.read_rules import KINDS, read_agent
from lumenkeep.policy.rules import Agent, Rule, Source
from lumenkeep.policy.texts import SetTexts
from lumenkeep.policy.watch_rules import ConcernRule

CORE = "core:"
"""How the id of a rule or number begins that counts whatever a set says."""
FIELDS = {"require": "requirements", "floor": "floors", "sane": "sane"}
"""Kinds of rule that are of the core, and where a policy keeps them."""
CONCERN = "concern"


@dataclass(frozen=True, slots=True, eq=False)
class Core:
    """The shipped rules that count for every set, and what they rest on.

    As with policies, two are the same only if they are one object.

    Attributes
    ----------
    rules
        By kind and id, as shipped.
    concerns
        What somebody must be called for, by id.
    numbers, sources
        By id, as shipped.
    procedures
        The shipped files of procedures, whose rules of asepsis count for every set.
    agents
        Antiseptics, as published, by id.
    """

    rules: Mapping[str, Mapping[str, Rule]]
    concerns: Mapping[str, ConcernRule]
    numbers: Mapping[str, Number]
    sources: Mapping[str, Source]
    procedures: SetTexts | None = None
    agents: Mapping[str, Agent] = field(default_factory=dict)

    @property
    def ids(self) -> frozenset[str]:
        """Every id that a set may loosen."""
        files = self.procedures.procedures if self.procedures else ()
        return frozenset(
            (
                *self.concerns,
                *self.agents,
                *(id_ for rules in self.rules.values() for id_ in rules),
                *ids_of_procedures(files),
            )
        )


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
    agents = tuple(id_ for r in readers for id_ in r.data.get("agent") or {})
    reading = Reading(into, agents)
    rules: dict[str, dict[str, Rule]] = {kind: {} for kind in (*FIELDS, CONCERN)}
    for reader in readers:
        for id_, row in _tables(reader, "number"):
            read_number(row, id_, into)
        for id_, row in _tables(reader, "source"):
            into.sources[id_] = read_source(row, id_, into)
        for kind, found in rules.items():
            for row in reader.rows(kind):
                rule = KINDS[kind](row, reading)
                found[rule.id] = rule
    concerns = cast("dict[str, ConcernRule]", rules.pop(CONCERN))
    made = {
        id_: read_agent(row, id_, reading)
        for reader in readers
        for id_, row in _tables(reader, "agent")
    }
    return Core(rules, concerns, into.numbers, into.sources, procedures, made)


def _tables(reader: Reader, key: str) -> list[tuple[str, Reader]]:
    table = reader.table(key)
    rows = [(id_, table.table(id_)) for id_ in table.every_key()] if table else []
    return [(id_, row) for id_, row in rows if row is not None]
