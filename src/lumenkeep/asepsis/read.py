"""Read the procedure files of a set into a checked `Bedside`.

A set's files lie in its ``procedures`` folder; a file of the same name takes the place
of the one in the set it extends. Everything wrong is gathered and raised together.
This module reads no disk: it is handed parsed files.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.asepsis.procedure import Bedside, Procedure, Step
from lumenkeep.asepsis.read_rows import (
    read_item,
    read_rows,
    read_rule,
    read_sets,
    read_slip,
    read_spare,
    read_step,
)
from lumenkeep.asepsis.words import SETTING_FACTS
from lumenkeep.errors import Fault, PolicyError
from lumenkeep.model.reading import Reader, closest
from lumenkeep.policy.numbers import ELAPSED_SECONDS_PER
from lumenkeep.policy.read_basics import (
    Gathered,
    read_number,
    read_source,
    source_ref,
)
from lumenkeep.policy.vocabulary import TASKS

if TYPE_CHECKING:
    from lumenkeep.policy import Policy

OWN_STEPS = "own"


@dataclass(frozen=True, slots=True)
class ProcedureFiles:
    """The parsed procedure files of one set, and what went wrong in parsing them."""

    name: str
    tables: Mapping[str, Mapping[str, Any]]
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class _Written:
    """A procedure as its file has it, before shared parts are put in."""

    procedure: Procedure
    parts: tuple[str, ...]


def read_bedside(layers: Sequence[ProcedureFiles], policy: Policy) -> Bedside:
    """Return what a set says about procedures.

    Parameters
    ----------
    layers
        Files of the lowest set first, of the set itself last.
    policy
        The set, whose numbers and sources the files may name. A number of the set
        goes before one of the same id in a procedure file.

    Raises
    ------
    PolicyError
        Holding every fault of the files.
    """
    into = Gathered(faults=[fault for layer in layers for fault in layer.faults])
    files: dict[str, Reader] = {}
    for layer in layers:
        for name, table in layer.tables.items():
            place = f"{layer.name}/{name}: "
            files[name] = Reader(table, place, into.faults, "policy")
    parts: dict[str, tuple[Step, ...]] = {}
    written: list[_Written] = []
    for name in sorted(files):
        _read_steps(files[name], into, parts, written)
    bedside = Bedside(
        procedures={
            one.procedure.id: _joined(one, parts, into.faults) for one in written
        },
        items={item.id: item for item in _each(files, "item", into, read_item)},
        rules=tuple(_each(files, "rule", into, read_rule)),
        slips=tuple(_each(files, "slip", into, read_slip)),
        moves=tuple(_each(files, "move", into, read_step)),
        room=tuple(_each(files, "spare", into, read_spare)),
        numbers={},
        sources={},
    )
    for file in files.values():
        _named(file, into)
        file.finish()
    bedside = Bedside(
        bedside.procedures,
        bedside.items,
        bedside.rules,
        bedside.slips,
        bedside.moves,
        bedside.room,
        {**into.numbers, **policy.numbers},
        {**into.sources, **policy.sources},
    )
    into.faults += [*_references(bedside, into), *_same_ids(bedside)]
    into.faults += [*_items(bedside), *_moves(bedside)]
    if into.faults:
        raise PolicyError(into.faults)
    return bedside


def _each(
    files: Mapping[str, Reader], key: str, into: Gathered, read_one: Any
) -> list[Any]:
    return [
        read_one(row, into) for name in sorted(files) for row in files[name].rows(key)
    ]


def _named(file: Reader, into: Gathered) -> None:
    numbers, sources = file.table("number"), file.table("source")
    for id_ in numbers.every_key() if numbers else ():
        row = numbers.table(id_) if numbers else None
        if row is not None:
            read_number(row, id_, into)
    for id_ in sources.every_key() if sources else ():
        row = sources.table(id_) if sources else None
        if row is not None:
            into.sources[id_] = read_source(row, id_)


def _read_steps(
    file: Reader,
    into: Gathered,
    parts: dict[str, tuple[Step, ...]],
    written: list[_Written],
) -> None:
    steps = tuple(read_step(row, into) for row in file.rows("step"))
    part = file.table("part")
    if part is not None:
        parts[part.text("id", needed=True) or ""] = steps
        part.finish()
    head = file.table("procedure")
    if head is not None:
        written.append(_procedure(head, steps, into))


def _procedure(head: Reader, steps: tuple[Step, ...], into: Gathered) -> _Written:
    branches = []
    for row in head.rows("branches"):
        name = row.text("name", needed=True) or ""
        branches.append((name, _choices(row, also=("name",))))
    vary = head.table("vary")
    procedure = Procedure(
        id=head.text("id", needed=True) or "without-id",
        title=head.text("title", needed=True) or "",
        steps=steps,
        starts=read_sets(head, "starts"),
        ends=read_rows(head, "ends"),
        vary=_choices(vary) if vary else (),
        branches=tuple(branches),
        resets=head.words("resets", TASKS),
        because=head.text("because", needed=True) or "",
        source=source_ref(head, into),
        where=head.where,
    )
    parts = head.words("parts", None) or (OWN_STEPS,)
    head.finish()
    return _Written(procedure, parts)


def _choices(
    row: Reader, also: tuple[str, ...] = ()
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return facts of the setting with the words each may take."""
    found = []
    for fact in row.every_key():
        if fact in also or row.checked_word(fact, fact, SETTING_FACTS) is None:
            continue
        found.append((fact, row.words(fact, None, needed=True)))
    return tuple(found)


def _joined(
    one: _Written, parts: Mapping[str, tuple[Step, ...]], faults: list[Fault]
) -> Procedure:
    steps: list[Step] = []
    for part in one.parts:
        if part == OWN_STEPS:
            steps += one.procedure.steps
        elif part in parts:
            steps += parts[part]
        else:
            faults.append(
                Fault(
                    "policy-no-such-part",
                    f"No part '{part}' of a procedure is written.",
                    f"{one.procedure.where}.parts",
                    "name one of: " + ", ".join((OWN_STEPS, *sorted(parts))),
                )
            )
    known = one.procedure
    return Procedure(
        known.id,
        known.title,
        tuple(steps),
        known.starts,
        known.ends,
        known.vary,
        known.branches,
        known.resets,
        known.because,
        known.source,
        known.where,
    )


def _references(bedside: Bedside, into: Gathered) -> Iterable[Fault]:
    for ref in into.number_refs:
        number = bedside.numbers.get(ref.id)
        if number is None:
            near = closest(ref.id, bedside.numbers)
            yield Fault(
                "policy-no-such-number",
                f"No number '{ref.id}' is defined.",
                ref.where,
                f"did you mean '{near}'?" if near else "define it under [number.…]",
            )
        elif ref.family == "elapsed" and number.unit not in ELAPSED_SECONDS_PER:
            yield Fault(
                "policy-wrong-unit",
                f"'{ref.id}' is in {number.unit}; a time in s, min or h is needed here.",
                ref.where,
                "name a number that is a time in s, min or h",
            )
    for ref in into.source_refs:
        if ref.id not in bedside.sources:
            near = closest(ref.id, bedside.sources)
            yield Fault(
                "policy-no-such-source",
                f"No source '{ref.id}' is defined.",
                ref.where,
                f"did you mean '{near}'?" if near else "define it under [source.…]",
            )


def _same_ids(bedside: Bedside) -> Iterable[Fault]:
    groups: list[tuple[str, Sequence[Any]]] = [
        ("rule", bedside.rules),
        ("slip", bedside.slips),
        ("move", bedside.moves),
    ]
    groups += [(f"procedure {p.id}", p.steps) for p in bedside.procedures.values()]
    for group, rows in groups:
        seen: set[str] = set()
        for row in rows:
            # Steps of one id stand for one another where the plan differs.
            if row.id in seen and not getattr(row, "when", ()):
                yield Fault(
                    "policy-same-id",
                    f"The id '{row.id}' is used twice ({group}).",
                    row.where,
                    "give one of them another id",
                )
            seen.add(row.id)


def _items(bedside: Bedside) -> Iterable[Fault]:
    named = [
        (item, step.where)
        for steps in (*(p.steps for p in bedside.procedures.values()), bedside.moves)
        for step in steps
        for item, _ in (*step.uses, *step.opens)
    ]
    named += [(spare.item, spare.where) for spare in bedside.room]
    for item, where in dict.fromkeys(named):
        if item not in bedside.items:
            near = closest(item, bedside.items)
            yield Fault(
                "policy-no-such-item",
                f"No item '{item}' is written.",
                where,
                f"did you mean '{near}'?" if near else "add it under [[item]]",
            )


def _moves(bedside: Bedside) -> Iterable[Fault]:
    moves = [move.id for move in bedside.moves]
    for slip in bedside.slips:
        for place, id_ in enumerate(slip.first):
            if id_ not in moves:
                near = closest(id_, moves)
                yield Fault(
                    "policy-no-such-move",
                    f"No move '{id_}' is written.",
                    f"{slip.where}.first[{place}]",
                    f"did you mean '{near}'?" if near else "add it under [[move]]",
                )
