"""Lay what two sets state side by side: what one says alone, and what they say otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any

from lumenkeep.core.comparing.kinds import NUMBER, QUESTION, SOURCE, STEP
from lumenkeep.core.comparing.statements import DaysOfValue, Statement, statements_of
from lumenkeep.core.policy.conditions import Comparison

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lumenkeep.core.policy import Policy

LOST, ADDED, CHANGED, MOVED = "lost", "added", "changed", "moved"
NO_ORDER = frozenset((NUMBER, SOURCE, QUESTION))
"""Kinds that are looked up by name, whatever their order."""

Key = tuple[str, str, int]


@dataclass(frozen=True, slots=True)
class PartChange:
    """One part that two sets say otherwise.

    Attributes
    ----------
    part
        Its name.
    one, two
        What each says; None where it says nothing.
    from_on, until_on
        First day, and first day no more, on which they differ; None: since ever, for
        good.
    """

    part: str
    one: Any
    two: Any
    from_on: date | None = None
    until_on: date | None = None


@dataclass(frozen=True, slots=True)
class StatementChange:
    """A statement that two sets do not both make alike.

    Attributes
    ----------
    kind, id
        As of `Statement`.
    change
        "lost" (only the first makes it), "added", "changed" or "moved".
    parts
        What differs in it; of one lost or added, all that it says.
    where_one, where_two
        File and key; empty where it is not made.
    says
        All parts of it as the second set makes it, or the first where that does not.
    named_by
        Of a number, ids of the statements that go by it.
    also
        Ids of statements that differ just so, as a step shared by procedures.
    """

    kind: str
    id: str
    change: str
    parts: tuple[PartChange, ...]
    where_one: str
    where_two: str
    says: Mapping[str, Any]
    named_by: tuple[str, ...] = ()
    also: tuple[str, ...] = ()


def changes_between(one: Policy, two: Policy, day: date) -> tuple[StatementChange, ...]:
    """Return every statement that two sets do not both make alike.

    Parameters
    ----------
    day
        Day from which days count as to come.

    Raises
    ------
    PolicyError
        The procedure files of a set are faulty.
    """
    before, after = _keyed(statements_of(one)), _keyed(statements_of(two))
    found = []
    for key in {**before, **after}:
        change = _change(before.get(key), after.get(key), day)
        if change is not None:
            found.append(change)
    found += _moved(before, after)
    return tuple(_with_users(_gathered(found), (*before.values(), *after.values())))


def _with_users(
    changes: Sequence[StatementChange], statements: Iterable[Statement]
) -> Iterator[StatementChange]:
    """Yield the changes; those of a number with the statements that go by it."""
    users: dict[str, dict[str, None]] = {
        one.id: {} for one in changes if one.kind == NUMBER
    }
    for one in statements if users else ():
        if one.kind != QUESTION:
            for name in _names(tuple(one.parts.values())):
                if name in users:
                    users[name][one.id] = None
    for change in changes:
        is_number = change.kind == NUMBER
        yield replace(change, named_by=tuple(users[change.id])) if is_number else change


def _names(content: Any) -> Iterator[str]:
    """Yield whatever a content may name a number by."""
    if isinstance(content, Comparison):
        yield from (content.number,) if content.number else ()
    elif isinstance(content, tuple):
        for one in content:
            yield from _names(one)
    elif isinstance(content, str):
        yield content


def _keyed(statements: Iterable[Statement]) -> dict[Key, Statement]:
    """Return statements by kind, id, and which of that id: steps may share one."""
    found: dict[Key, Statement] = {}
    counts: Counter[tuple[str, str]] = Counter()
    for one in statements:
        found[one.kind, one.id, counts[one.kind, one.id]] = one
        counts[one.kind, one.id] += 1
    return found


def _change(
    one: Statement | None, two: Statement | None, day: date
) -> StatementChange | None:
    told = one or two
    assert told is not None  # noqa: S101  a key is of one of them
    if one is None or two is None:
        word = ADDED if one is None else LOST
        parts = tuple(
            PartChange(name, *((None, said) if one is None else (said, None)))
            for name, said in told.parts.items()
        )
    else:
        word = CHANGED
        parts = tuple(
            change
            for name in {**one.parts, **two.parts}
            for change in _of_part(name, one.parts.get(name), two.parts.get(name), day)
        )
    if not parts:
        return None
    return StatementChange(
        told.kind,
        told.id,
        word,
        parts,
        one.where if one else "",
        two.where if two else "",
        (two or told).parts,
    )


def _of_part(name: str, one: Any, two: Any, day: date) -> list[PartChange]:
    if one == two:
        return []
    if isinstance(one, DaysOfValue) and isinstance(two, DaysOfValue):
        return list(_stretches(name, one, two, day))
    return [PartChange(name, one, two)]


def _stretches(
    name: str, one: DaysOfValue, two: DaysOfValue, day: date
) -> list[PartChange]:
    """Return the stretches of days on which two numbers differ, each with its values.

    A stretch that has begun by ``day`` is told without its first day, unless it is over.
    """
    starts = sorted({start for start, _ in (*one.values, *two.values)})
    found: list[PartChange] = []
    for start, end in zip(starts, [*starts[1:], None], strict=True):
        before, after = one.on(start), two.on(start)
        if before == after:
            continue
        last = found[-1] if found else None
        if last and last.until_on == start and (last.one, last.two) == (before, after):
            found[-1] = replace(last, until_on=end)
        else:
            found.append(PartChange(name, before, after, start, end))
    return [_seen_from(day, change) for change in found]


def _seen_from(day: date, change: PartChange) -> PartChange:
    is_over = change.until_on is not None and change.until_on <= day
    begun = change.from_on is not None and change.from_on <= day
    return replace(change, from_on=None) if begun and not is_over else change


def _moved(
    before: Mapping[Key, Statement], after: Mapping[Key, Statement]
) -> list[StatementChange]:
    """Return the statements that stand elsewhere among those that both sets make."""
    found = []
    shared = [key for key in before if key in after and key[0] not in NO_ORDER]
    groups = dict.fromkeys(_group(key) for key in shared)
    for group in groups:
        one = [key for key in before if key in after and _group(key) == group]
        two = [key for key in after if key in before and _group(key) == group]
        for key in _out_of_place(one, two):
            change = PartChange("stands after", _after(key, one), _after(key, two))
            found.append(
                StatementChange(
                    key[0],
                    key[1],
                    MOVED,
                    (change,),
                    before[key].where,
                    after[key].where,
                    after[key].parts,
                )
            )
    return found


def _group(key: Key) -> tuple[str, str]:
    """Return among which statements the place of one counts."""
    kind, id_, _ = key
    return kind, id_.partition("/")[0] if kind == STEP else ""


def _out_of_place(one: Sequence[Key], two: Sequence[Key]) -> list[Key]:
    if one == two:
        return []
    blocks = SequenceMatcher(None, one, two, autojunk=False).get_matching_blocks()
    kept = {key for block in blocks for key in one[block.a : block.a + block.size]}
    return [key for key in one if key not in kept]


def _after(key: Key, keys: Sequence[Key]) -> str:
    place = keys.index(key)
    return keys[place - 1][1].rpartition("/")[2] if place else "nothing"


def _gathered(changes: Iterable[StatementChange]) -> list[StatementChange]:
    """Join steps that differ alike in several procedures into one."""
    found: dict[Any, StatementChange] = {}
    for number, change in enumerate(changes):
        key: Any = number
        if change.kind == STEP:
            step = change.id.partition("/")[2]
            key = (step, change.change, change.where_one, change.where_two)
            key = (*key, repr(change.parts))
        if key in found:
            first = found[key]
            found[key] = replace(first, also=(*first.also, change.id))
        else:
            found[key] = change
    return list(found.values())
