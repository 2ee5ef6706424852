"""Read the files of one set, on top of the set it extends, into a checked `Policy`.

Everything wrong with the set is gathered first and raised together. This module
reads no disk: it is handed parsed files.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, cast

from lumenkeep.core.model.reading import Reader
from lumenkeep.core.policy.core import CORE
from lumenkeep.core.policy.cross_check import cross_check, floor_faults
from lumenkeep.core.policy.loosened import LOOSENED, loosened_faults, read_loosened
from lumenkeep.core.policy.number_check import references_of
from lumenkeep.core.policy.policy import FIELD_OF_KIND, Policy, told
from lumenkeep.core.policy.read_basics import Gathered, read_number, read_source
from lumenkeep.core.policy.read_bounds import BOUND
from lumenkeep.core.policy.read_head import SetHead, base_faults, read_meta
from lumenkeep.core.policy.read_rules import KINDS, RuleReader, read_agent, read_rules
from lumenkeep.core.policy.with_core import own_only, with_core
from lumenkeep.core.policy.world import world_faults
from lumenkeep.errors import Fault, PolicyError

if TYPE_CHECKING:
    from lumenkeep.core.policy.bounds import Bound
    from lumenkeep.core.policy.loosened import Loosened
    from lumenkeep.core.policy.rules import Agent, Rule
    from lumenkeep.core.policy.world import World

NAMED_TABLES = ("set", "source", "number", "agent", LOOSENED)


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


def read_policy(files: SetFiles, base: Policy | None, world: World) -> Policy:
    """Return the policy that the files state on top of ``base``.

    Parameters
    ----------
    world
        What is so whoever writes the rules; the set is held to it.

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
    meta = read_meta(readers, files.name, into.faults)
    into.faults += base_faults(meta, base)
    own_agents = [
        id_
        for reader in readers.values()
        for id_ in (reader.data.get("agent") or {})
        if isinstance(reader.data.get("agent"), Mapping)
    ]
    inherited = tuple(base.agents) if base else ()
    reading = RuleReader(into, tuple(dict.fromkeys((*inherited, *own_agents))))
    loosened: list[Loosened] = []
    agents: dict[str, Agent] = {}
    rules: dict[str, dict[str, Rule]] = {kind: {} for kind in KINDS}
    # By id, whatever the kind; as it grows.
    taken = ChainMap(*reversed(rules.values()))
    for reader in readers.values():
        _named(
            reader,
            "source",
            into,
            lambda r, i: into.sources.update({i: read_source(r, i, into)}),
        )
        _named(reader, "number", into, lambda r, i: read_number(r, i, into))
        _named(
            reader,
            "agent",
            into,
            lambda r, i: agents.update({i: _agent(r, i, reading)}),
        )
        loosened += read_loosened(reader, into)
        for kind in KINDS:
            for rule in read_rules(reader, kind, reading, taken):
                rules[kind][rule.id] = rule
        reader.finish(also=NAMED_TABLES)
    into.faults += loosened_faults(loosened, _may_be_loosened(loosened, base, world))
    policy = _assembled(meta, files, base, into, agents, rules, loosened, world)
    policy = replace(policy, written={r.id: r for r in policy.every_rule()})
    policy = replace(policy, references=references_of(policy, base, into.number_refs))
    into.faults += cross_check(policy, into, files.name)
    into.faults += world_faults(
        policy, cast("Mapping[str, Bound]", rules[BOUND]), world
    )
    policy = with_core(policy, world.core)
    into.faults += floor_faults(policy.floors, policy.numbers)
    if into.faults:
        raise PolicyError(into.faults)
    return told(policy)


def _agent(row: Reader, id_: str, reading: RuleReader) -> Agent:
    reading.into.once(row, "antiseptic", id_)
    return read_agent(row, id_, reading)


def _named(reader: Reader, key: str, into: Gathered, read_one: Any) -> None:
    del into
    table = reader.table(key)
    if table is None:
        return
    for id_ in table.every_key():
        row = table.table(id_)
        if row is not None:
            read_one(row, id_)


def _may_be_loosened(
    loosened: list[Loosened], base: Policy | None, world: World
) -> frozenset[str]:
    """Return the ids that may be loosened, those of procedures where one is sought.

    They stand in every procedure file, which takes long to read for nothing.
    """
    known = world.core.ids | _required_by(base)
    if all(one.id in known for one in loosened):
        return known
    return known | world.core.ids_of_procedures


def _required_by(base: Policy | None) -> set[str]:
    """Return the ids of what the extended set requires, without what the core added."""
    return {rule.id for rule in own_only(base.requirements)} if base else set()


def _assembled(
    meta: SetHead,
    files: SetFiles,
    base: Policy | None,
    into: Gathered,
    agents: Mapping[str, Agent],
    rules: Mapping[str, Mapping[str, Rule]],
    loosened: Sequence[Loosened],
    world: World,
) -> Policy:
    removed = set(meta.remove)
    inherited = {r.id for r in own_only(base.every_rule())} if base else set()
    for id_ in removed - inherited:
        into.faults.append(
            Fault(
                "policy-removes-nothing",
                f"'{id_}' is not a rule of the set this one extends.",
                meta.remove_where,
                "take it out of 'remove', or correct its id",
            )
        )
    if base is not None and meta.call not in ("", base.call):
        # Whoever names whom to call names it for everybody, until its own rules differ.
        removed |= {rule.id for rule in base.calls}
    of_core = {id_ for kind in world.core.rules.values() for id_ in kind}
    removed |= {one.id for one in loosened} & (of_core | _required_by(base))
    merged: dict[str, Any] = {}
    for kind, field in FIELD_OF_KIND.items():
        own = dict(rules[kind])
        before: dict[str, Rule] = {}
        if base is not None:
            before = {
                r.id: base.written[r.id]
                for r in own_only(getattr(base, field))
                if r.id not in removed
            }
        merged[field] = tuple({**before, **own}.values())
    before_agents = {
        i: cast("Agent", base.written[i])
        for i in (base.agents if base is not None else ())
        if base is not None and i not in removed
    }
    own_rules = {i for group in rules.values() for i in group}
    dropped = removed | own_rules | set(agents)
    old_numbers = {
        i: n
        for i, n in (base.numbers.items() if base else ())
        if not i.startswith(CORE) and (i.split(".")[0] not in dropped or "." not in i)
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
        bounds={
            **(base.bounds if base else world.bounds),
            **cast("Mapping[str, Bound]", rules[BOUND]),
        },
        loosened=(*loosened, *(base.loosened if base else ())),
        removed=(base.removed if base else frozenset()) | set(meta.remove),
        base=base,
        **merged,
    )
