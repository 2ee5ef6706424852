"""Read the procedure files of a set into a checked `Bedside`.

A set's files lie in its ``procedures`` folder; a file of the same name takes the place
of the one in the set it extends. Everything wrong is gathered and raised together.
This module reads no disk: it is handed parsed files.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Protocol

from lumenkeep.core.asepsis.core_rules import held_to_core
from lumenkeep.core.asepsis.join import OWN_STEPS, joined
from lumenkeep.core.asepsis.procedure import Bedside, Procedure, Repeat, Step
from lumenkeep.core.asepsis.read_rows import (
    read_choices,
    read_head,
    read_item,
    read_kind,
    read_needed,
    read_rows,
    read_rule,
    read_safe,
    read_sets,
    read_slip,
    read_spare,
    read_step,
)
from lumenkeep.core.asepsis.same_ids import same_ids
from lumenkeep.core.asepsis.texts import sentence_faults
from lumenkeep.core.asepsis.words import COUNTED, NOTHING_USED
from lumenkeep.core.model.reading import Reader, closest
from lumenkeep.core.policy.numbers import ELAPSED_SECONDS_PER, Number
from lumenkeep.core.policy.read_basics import (
    Gathered,
    read_number,
    read_source,
    source_ref,
)
from lumenkeep.core.policy.vocabulary import TASKS
from lumenkeep.errors import Fault, PolicyError

if TYPE_CHECKING:
    from collections.abc import Collection

    from lumenkeep.core.policy.rules import Source


ROWS: Mapping[str, Callable[[Reader, Gathered], Any]] = {
    "item": read_item,
    "rule": read_rule,
    "safe": read_safe,
    "needed": read_needed,
    "head": read_head,
    "kind": read_kind,
    "slip": read_slip,
    "move": read_step,
    "spare": read_spare,
}
"""The lists that any procedure file may hold, and what reads one row of each."""


@dataclass(frozen=True, slots=True, eq=False)
class ProcedureFiles:
    """The parsed procedure files of one set, and what went wrong in parsing them.

    Two are the same only if they are one object.
    """

    name: str
    tables: Mapping[str, Mapping[str, Any]]
    faults: tuple[Fault, ...] = ()


class OfSet(Protocol):
    """What the rules of a set give to its procedures."""

    @property
    def numbers(self) -> Mapping[str, Number]:
        """Numbers that the files may name, by id."""

    @property
    def sources(self) -> Mapping[str, Source]:
        """Sources that the files may name, by id."""


@dataclass(frozen=True, slots=True)
class _Written:
    """A procedure as its file has it, before shared parts are put in."""

    procedure: Procedure
    parts: tuple[str, ...]


def read_bedside(
    layers: Sequence[ProcedureFiles],
    of_set: OfSet,
    core: ProcedureFiles | None = None,
    loosened: Collection[str] = (),
) -> Bedside:
    """Return what a set says about procedures.

    Parameters
    ----------
    layers
        Files of the lowest set first, of the set itself last.
    of_set
        The set, whose numbers and sources the files may name. A number of the set
        goes before one of the same id in a procedure file.
    core
        The shipped procedure files: their rules count for every set.
    loosened
        Ids of the rules that the set does not hold itself to.

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
            # What an upper set says comes after what the lower ones say.
            files.pop(name, None)
            files[name] = Reader(table, place, into.faults, "policy")
    parts: dict[str, tuple[Step, ...]] = {}
    written: list[_Written] = []
    lies_in: dict[str, str] = {}
    for file in files.values():
        part = _read_steps(file, into, parts, written)
        if part is not None:
            lies_in[file.where.partition(": ")[0]] = part
    bedside = Bedside(
        procedures={
            one.procedure.id: joined(one.procedure, one.parts, parts, into.faults)
            for one in written
        },
        items={item.id: item for item in _each(files, "item", into)},
        rules=tuple(_each(files, "rule", into)),
        slips=tuple(_each(files, "slip", into)),
        moves=tuple(_each(files, "move", into)),
        room=tuple(_each(files, "spare", into)),
        numbers={},
        sources={},
        safe=tuple(_each(files, "safe", into)),
        needed=tuple(_each(files, "needed", into)),
        heads=tuple(_each(files, "head", into)),
        kinds=tuple(_each(files, "kind", into)),
        parts=lies_in,
    )
    order = [layer.name for layer in layers]
    for file in files.values():
        _named(file, into, of_set, order)
        file.finish()
    bedside = replace(
        bedside,
        numbers={**into.numbers, **of_set.numbers},
        sources={**into.sources, **of_set.sources},
    )
    into.faults += [*_references(bedside, into, order), *same_ids(bedside)]
    into.faults += [*_items(bedside), *_moves(bedside)]
    into.faults += sentence_faults(bedside, bedside.numbers, into.numbers)
    if into.faults:
        raise PolicyError(into.faults)
    if core is None:
        return bedside
    return held_to_core(bedside, core, loosened)


def ask_for_everything(file: Reader, into: Gathered) -> None:
    """Ask a procedure file for whatever such a file may say, and make nothing of it."""
    _read_steps(file, into, {}, [])
    for key, read_one in ROWS.items():
        for row in file.rows(key):
            read_one(row, into)
    for key in ("number", "source"):  # as in a set's other files
        file.table(key)


def _each(files: Mapping[str, Reader], key: str, into: Gathered) -> list[Any]:
    return [ROWS[key](row, into) for file in files.values() for row in file.rows(key)]


def _named(file: Reader, into: Gathered, of_set: OfSet, order: list[str]) -> None:
    layer = file.where.partition("/")[0]
    below = order[: order.index(layer)] if layer in order else []
    numbers, sources = file.table("number"), file.table("source")
    for id_ in numbers.every_key() if numbers else ():
        row = numbers.table(id_) if numbers else None
        if row is not None:
            read_number(row, id_, into)
            of_rules = of_set.numbers.get(id_)
            if of_rules and of_rules.where.startswith(f"{layer}/"):
                into.faults.append(_twice(row, "number", id_, of_rules.where))
            elif of_rules and of_rules.where.partition("/")[0] in below:
                into.faults.append(_unread(row, id_, of_rules.where))
    for id_ in sources.every_key() if sources else ():
        row = sources.table(id_) if sources else None
        if row is not None:
            into.sources[id_] = read_source(row, id_, into)


def _unread(row: Reader, id_: str, before: str) -> Fault:
    return Fault(
        "policy-number-unread",
        f"'{id_}' is said anew in a procedure file, where nothing reads it: it is a "
        "number of the rules.",
        row.where,
        f"move it into a file beside set.toml; it stands at {before}",
    )


def _twice(row: Reader, what: str, id_: str, before: str) -> Fault:
    return Fault(
        "policy-same-id",
        f"The {what} '{id_}' is said twice in this set.",
        row.where,
        f"keep one, or give it another id; the other stands at {before}",
    )


def _read_steps(
    file: Reader,
    into: Gathered,
    parts: dict[str, tuple[Step, ...]],
    written: list[_Written],
) -> str | None:
    """Read a file's steps; return the shared part that they are, if they are one."""
    steps = tuple(read_step(row, into) for row in file.rows("step"))
    part, name = file.table("part"), None
    if part is not None:
        name = part.text("id", needed=True) or ""
        into.once(part, "part", name)
        parts[name] = steps
        part.finish()
    head = file.table("procedure")
    if head is not None:
        into.once(head, "procedure", str(head.data.get("id")))
        written.append(_procedure(head, steps, into))
    return name


def _procedure(head: Reader, steps: tuple[Step, ...], into: Gathered) -> _Written:
    branches = []
    for row in head.rows("branches"):
        name = row.text("name", needed=True) or ""
        branches.append((name, read_choices(row, also=("name",))))
    vary = head.table("vary")
    procedure = Procedure(
        id=head.text("id", needed=True) or "without-id",
        title=head.text("title", needed=True) or "",
        steps=steps,
        starts=read_sets(head, "starts"),
        ends=read_rows(head, "ends"),
        vary=read_choices(vary) if vary else (),
        branches=tuple(branches),
        resets=head.words("resets", TASKS),
        because=head.text("because", needed=True) or "",
        source=source_ref(head, into),
        where=head.where,
        repeat=_repeat(head),
    )
    parts = head.words("parts", None) or (OWN_STEPS,)
    head.finish()
    return _Written(procedure, parts)


def _repeat(head: Reader) -> Repeat | None:
    table = head.table("repeat")
    if table is None:
        return None
    repeat = Repeat(
        first=table.text("from", needed=True) or "",
        last=table.text("to", needed=True) or "",
        each=table.word("each", COUNTED, needed=True) or COUNTED[0],
        called=table.text("called", needed=True) or "",
    )
    table.finish()
    return repeat


def _no_time(number: Number, where: str, *, here: bool) -> Fault:
    """Return that a step needs a time; of a number said anew, where that stands."""
    return Fault(
        "policy-wrong-unit",
        f"'{number.id}' is in {number.unit}; a time in s, min or h is needed here."
        if here
        else f"'{number.id}' is in {number.unit}, and {where} needs a time in s, min "
        "or h.",
        where if here else number.where,
        "name a number that is a time in s, min or h"
        if here
        else "write it in s, min or h",
    )


def _references(bedside: Bedside, into: Gathered, order: list[str]) -> Iterable[Fault]:
    told: set[str] = set()
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
            step, said = (w.partition("/")[0] for w in (ref.where, number.where))
            above = order[order.index(step) + 1 :] if step in order else []
            here = said not in above
            if here or number.where not in told:
                yield _no_time(number, ref.where, here=here)
            told.add(number.where)
    for ref in into.source_refs:
        if ref.id not in bedside.sources:
            near = closest(ref.id, bedside.sources)
            yield Fault(
                "policy-no-such-source",
                f"No source '{ref.id}' is defined.",
                ref.where,
                f"did you mean '{near}'?" if near else "define it under [source.…]",
            )


def _items(bedside: Bedside) -> Iterable[Fault]:
    named = [
        (item, step.where)
        for steps in (*(p.steps for p in bedside.procedures.values()), bedside.moves)
        for step in steps
        for item, _ in (*step.uses, *step.opens)
    ]
    named += [(spare.item, spare.where) for spare in bedside.room]
    asked = [(rule.on, f"{rule.where}.on") for rule in bedside.rules]
    asked += [(duty.on, f"{s.where}.must") for s in bedside.slips for duty in s.must]
    asked += [(needed.on, f"{needed.where}.on") for needed in bedside.needed]
    asked += [(kind.on, f"{kind.where}.on") for kind in bedside.kinds]
    asked += [(on, f"{head.where}.does") for head in bedside.heads for on in head.does]
    named += [
        (item, where)
        for on, where in asked
        for key in ("uses", "not_uses")
        for item in on.get(key, ())
        if item != NOTHING_USED
    ]
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
    named = [(f"{slip.where}.first", slip.first) for slip in bedside.slips]
    named += [(f"{safe.where}.does", safe.does) for safe in bedside.safe]
    for where, ids in named:
        for place, id_ in enumerate(ids):
            if id_ not in moves:
                near = closest(id_, moves)
                yield Fault(
                    "policy-no-such-move",
                    f"No move '{id_}' is written.",
                    f"{where}[{place}]",
                    f"did you mean '{near}'?" if near else "add it under [[move]]",
                )
