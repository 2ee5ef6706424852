"""Read the files of one set, on top of the set it extends, into a checked `Policy`.

Everything wrong with the set is gathered first and raised together. This module
reads no disk: it is handed parsed files.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.errors import Fault, PolicyError
from lumenkeep.model.reading import Reader
from lumenkeep.model.words import DRESSINGS
from lumenkeep.policy.cross_check import cross_check
from lumenkeep.policy.policy import Policy
from lumenkeep.policy.read_basics import Gathered, read_number, read_source
from lumenkeep.policy.read_rules import KINDS, Reading, read_agent, read_rules

if TYPE_CHECKING:
    from lumenkeep.policy.rules import Agent, Rule

FIELD_OF_KIND = {
    "exclude": "exclusions",
    "refer": "referrals",
    "site_rule": "site_rules",
    "interval": "intervals",
    "at_once": "at_once",
    "staffing": "staffing",
    "supply": "supplies",
    "kit": "kit",
    "note": "notes",
    "chart": "chart_fields",
    "plausible": "plausible",
    "floor": "floors",
    "require": "requirements",
    "disagreement": "disagreements",
    "length_limit": "length_limits",
    "measuring": "measuring",
    "scale": "scales",
    "concern": "concerns",
    "round_item": "round_items",
    "round_plan": "round_plans",
}
NAMED_TABLES = ("set", "source", "number", "agent")


@dataclass(frozen=True, slots=True)
class SetFiles:
    """The parsed files of one set.

    Parameters
    ----------
    name
        What messages call the set: its folder.
    tables
        Parsed TOML by file name, in reading order.
    digest
        SHA-256 over the files, and those of the set it extends.
    faults
        What already went wrong in parsing them.
    """

    name: str
    tables: Mapping[str, Mapping[str, Any]]
    digest: str
    faults: tuple[Fault, ...] = ()


def read_policy(files: SetFiles, base: Policy | None) -> Policy:
    """Return the policy that the files state on top of ``base``.

    Raises
    ------
    PolicyError
        Holding every fault of the set: wrong kinds and words, unknown keys,
        missing parts, numbers without unit, source or first day, references that
        lead nowhere, items that no interval covers.
    """
    into = Gathered(faults=list(files.faults))
    readers = {
        name: Reader(table, f"{files.name}/{name}: ", into.faults, "policy")
        for name, table in files.tables.items()
    }
    meta = _meta(readers, files, into)
    own_agents = [
        id_
        for reader in readers.values()
        for id_ in (reader.data.get("agent") or {})
        if isinstance(reader.data.get("agent"), Mapping)
    ]
    inherited = tuple(base.agents) if base else ()
    reading = Reading(into, tuple(dict.fromkeys((*inherited, *own_agents))))
    agents: dict[str, Agent] = {}
    rules: dict[str, dict[str, Rule]] = {kind: {} for kind in KINDS}
    for reader in readers.values():
        _named(
            reader,
            "source",
            into,
            lambda r, i: into.sources.update({i: read_source(r, i)}),
        )
        _named(reader, "number", into, lambda r, i: read_number(r, i, into))
        _named(
            reader,
            "agent",
            into,
            lambda r, i: agents.update({i: read_agent(r, i, reading)}),
        )
        for kind in KINDS:
            taken = {i: r for group in rules.values() for i, r in group.items()}
            for rule in read_rules(reader, kind, reading, taken):
                rules[kind][rule.id] = rule
        reader.finish(also=NAMED_TABLES)
    policy = _assembled(meta, files, base, into, agents, rules)
    into.faults += cross_check(policy, into, files.name)
    if into.faults:
        raise PolicyError(into.faults)
    return policy


@dataclass(frozen=True, slots=True)
class _Meta:
    id: str
    title: str
    version: str
    call: str
    antiseptics: tuple[str, ...]
    dressings: tuple[str, ...]
    remove: tuple[str, ...]
    remove_where: str
    abstract: bool


def _meta(readers: Mapping[str, Reader], files: SetFiles, into: Gathered) -> _Meta:
    holders = [r for r in readers.values() if "set" in r.data]
    if len(holders) != 1:
        into.faults.append(
            Fault(
                "policy-no-set-table",
                f"{len(holders)} of the set's files have a [set] table.",
                files.name,
                "put one [set] table with id, title, version and call into set.toml",
            )
        )
    table = holders[0].table("set") if holders else None
    if table is None:
        return _Meta("", "", "", "", (), (), (), files.name, abstract=False)
    meta = _Meta(
        id=table.text("id", needed=True) or "",
        title=table.text("title", needed=True) or "",
        version=table.text("version", needed=True) or "",
        abstract=table.flag("abstract"),
        call=table.text("call", needed=True) or "",
        antiseptics=table.words("antiseptics", None),
        dressings=table.words("dressings", DRESSINGS),
        remove=table.words("remove", None),
        remove_where=table.path("remove"),
    )
    table.text("extends")
    table.finish()
    return meta


def _named(reader: Reader, key: str, into: Gathered, read_one: Any) -> None:
    del into
    table = reader.table(key)
    if table is None:
        return
    for id_ in table.every_key():
        row = table.table(id_)
        if row is not None:
            read_one(row, id_)


def _assembled(
    meta: _Meta,
    files: SetFiles,
    base: Policy | None,
    into: Gathered,
    agents: Mapping[str, Agent],
    rules: Mapping[str, Mapping[str, Rule]],
) -> Policy:
    removed = set(meta.remove)
    inherited = {r.id for r in base.every_rule()} if base else set()
    for id_ in removed - inherited:
        into.faults.append(
            Fault(
                "policy-removes-nothing",
                f"'{id_}' is not a rule of the set this one extends.",
                meta.remove_where,
                "take it out of 'remove', or correct its id",
            )
        )
    merged: dict[str, Any] = {}
    for kind, field in FIELD_OF_KIND.items():
        own = dict(rules[kind])
        before: dict[str, Rule] = {}
        if base is not None:
            before = {r.id: r for r in getattr(base, field) if r.id not in removed}
        merged[field] = tuple({**before, **own}.values())
    before_agents = {
        i: a for i, a in (base.agents.items() if base else ()) if i not in removed
    }
    own_rules = {i for group in rules.values() for i in group}
    dropped = removed | own_rules | set(agents)
    old_numbers = {
        i: n
        for i, n in (base.numbers.items() if base else ())
        if i.split(".")[0] not in dropped or "." not in i
    }
    return Policy(
        id=meta.id,
        title=meta.title,
        version=meta.version,
        abstract=meta.abstract,
        call=meta.call or (base.call if base else ""),
        antiseptics=meta.antiseptics or (base.antiseptics if base else ()),
        dressings=meta.dressings or (base.dressings if base else ()),
        digest=files.digest,
        folder=files.name,
        own_sources=frozenset(into.sources),
        sources={**(base.sources if base else {}), **into.sources},
        numbers={**old_numbers, **into.numbers},
        agents={**before_agents, **agents},
        **merged,
    )
