"""What is so of the world, whoever writes the rules: bounds, and what is plausible.

A set's rules are its hospital's to choose. That no child of a year weighs a kilogram is
not: the proof believes it, so a set that could say otherwise could prove anything. The
shipped statements are therefore held against every set that is read. A set may leave
out what is plausible (it then asks more); it may not add to it or change it. A bound it
may restate, openly.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.reading import Reader, closest
from lumenkeep.core.policy.bounds import Bound
from lumenkeep.core.policy.core import Core, read_core
from lumenkeep.core.policy.numbers import Number, value_in_words
from lumenkeep.core.policy.read_basics import Gathered, RuleReader, read_number
from lumenkeep.core.policy.read_bounds import BOUND
from lumenkeep.core.policy.read_rules import KINDS
from lumenkeep.core.policy.rules import Plausible
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.texts import SetTexts

PLAUSIBLE = "plausible"


@dataclass(frozen=True, slots=True, eq=False)
class World:
    """The shipped statements about the world, by id, and the numbers they rest on.

    With it comes the core: what counts for every set. Two are the same only if they are
    one object.
    """

    bounds: Mapping[str, Bound]
    plausible: Mapping[str, Plausible]
    numbers: Mapping[str, Number]
    core: Core


def read_world(
    tables: Mapping[str, Mapping[str, Any]],
    name: str,
    procedures: SetTexts | None = None,
) -> World:
    """Return the world as the shipped set states it.

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
    reading = RuleReader(into, ())
    bounds: dict[str, Any] = {}
    plausible: dict[str, Any] = {}
    for file, table in tables.items():
        reader = Reader(table, f"{name}/{file}: ", into.faults, "policy")
        numbers = reader.table("number")
        for id_ in numbers.every_key() if numbers else ():
            row = numbers.table(id_) if numbers else None
            if row is not None:
                read_number(row, id_, into)
        for kind, found in ((BOUND, bounds), (PLAUSIBLE, plausible)):
            for row in reader.rows(kind):
                rule = KINDS[kind](row, reading)
                found[rule.id] = rule
    return World(bounds, plausible, into.numbers, read_core(tables, name, procedures))


def world_faults(policy: Policy, own: Mapping[str, Bound], world: World) -> list[Fault]:
    """Return a fault for each statement about the world that a set changes unawares.

    Parameters
    ----------
    policy
        The set with what it extends.
    own
        Bounds that the set itself writes down.
    """
    faults = [fault for bound in own.values() for fault in _of_bound(bound, world)]
    moved, rests_on = _moved(policy, world)
    faults += moved
    faults += [
        Fault(
            "policy-not-of-the-world",
            f"'{rule.id}' takes something for plausible that the world's own rows do "
            "not say.",
            rule.where,
            "take the row out: what is not known is asked; a bound of the world is "
            "mended in Lumenkeep itself, with its source",
        )
        for rule in policy.plausible
        if rule.id not in rests_on and not _is_of_the_world(rule, world)
    ]
    return faults


def _of_bound(bound: Bound, world: World) -> list[Fault]:
    known = world.bounds.get(bound.id)
    if known is None:
        near = closest(bound.id, world.bounds)
        return [
            Fault(
                "policy-no-such-bound",
                f"'{bound.id}' is no bound of the world.",
                f"{bound.where}.id",
                f"did you mean '{near}'?" if near else "take it out",
            )
        ]
    if bound.says == known.says or (bound.restates and bound.unit == known.unit):
        return []
    return [
        Fault(
            "policy-bound-restated",
            f"The bound '{bound.id}' is not what the world's is, and the set does not "
            "say that it means it.",
            bound.where,
            f"take it out; or write restates = true, keep the unit {known.unit}, and "
            "give reason and source",
        )
    ]


def _moved(policy: Policy, world: World) -> tuple[list[Fault], set[str]]:
    """Return a fault for each number of the world that a set says anew, and its rows."""
    found: dict[str, Fault] = {}
    rows: set[str] = set()
    for rule in policy.plausible:
        if not _is_of_the_world(rule, world):
            continue
        for id_ in _numbers_of(rule):
            number, known = policy.numbers.get(id_), world.numbers.get(id_)
            if number is None or known is None or _dated(number) == _dated(known):
                continue
            rows.add(rule.id)
            found.setdefault(
                id_,
                Fault(
                    "policy-not-of-the-world",
                    f"'{id_}' is {_in_words(number)}. '{rule.id}', which the proof "
                    f"believes, rests on it as {_in_words(known)}.",
                    number.where,
                    "take the number out; a rule of yours that needs another names a "
                    "number with an id of its own",
                ),
            )
    return [*found.values()], rows


def _is_of_the_world(rule: Plausible, world: World) -> bool:
    known = world.plausible.get(rule.id)
    return known is not None and (rule.fact, rule.at_least, rule.when) == (
        known.fact,
        known.at_least,
        known.when,
    )


def _numbers_of(rule: Plausible) -> list[str]:
    """Return the numbers that a row rests on, each once, in a fixed order."""
    named = [rule.at_least, *(c.number for row in rule.when for c in row)]
    return [id_ for id_ in dict.fromkeys(named) if id_]


def _in_words(number: Number) -> str:
    return ", then ".join(value_in_words(v.value, number.unit) for v in number.values)


def _dated(number: Number | None) -> object:
    return number and [(v.start, v.value) for v in number.values]
