"""What a set states, taken apart into parts that can be laid side by side.

A statement keeps its parts as they were written, sentences with their places for
numbers still open: a number that changes is told once, where it stands, and not again
in each sentence that says it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.core.comparing.kinds import (
    AGENT,
    HEAD,
    ITEM,
    KIND,
    LOOSENED,
    MOVE,
    NEEDED,
    NUMBER,
    PROCEDURE,
    QUESTION,
    RULE,
    SAFE,
    SET,
    SLIP,
    SOURCE,
    SPARE,
    STEP,
    compared_kinds,
)
from lumenkeep.core.policy.conditions import Comparison
from lumenkeep.core.policy.numbers import Number, Value
from lumenkeep.core.policy.policy import FIELD_OF_KIND
from lumenkeep.core.policy.read_bounds import BOUND
from lumenkeep.core.policy.vocabulary import FACTS
from lumenkeep.core.rehearsal.procedure_files import bedside_written

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lumenkeep.core.asepsis.procedure import Bedside, Procedure
    from lumenkeep.core.policy import Policy, Rule

KEYS = ("id", "grade", "days", "source")
"""What rows within a statement are told apart by, the first that they have."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A value with the unit it was written in."""

    value: Value
    unit: str


@dataclass(frozen=True, slots=True)
class DaysOfValue:
    """A value that may change: pairs of first day and amount, oldest first."""

    values: tuple[tuple[date, Amount], ...]

    def on(self, day: date) -> Amount | None:
        """Return the amount in force on a day; None before the first."""
        found = [amount for start, amount in self.values if start <= day]
        return found[-1] if found else None


@dataclass(frozen=True, slots=True)
class Statement:
    """One thing that a set says.

    Attributes
    ----------
    kind
        As the files name it; one of `kinds_of_statement`.
    id
        Its own id; of a step, that of its procedure goes before.
    where
        File and key.
    parts
        What it says, by the name of the part; a number written in place as `DaysOfValue`.
    """

    kind: str
    id: str
    where: str
    parts: Mapping[str, Any]


def statements_of(policy: Policy) -> list[Statement]:
    """Return everything that a set and what it extends state, in order.

    Raises
    ------
    PolicyError
        The procedure files of the set are faulty.
    """
    bedside = bedside_written(policy)
    reading = _Reading(bedside.numbers)
    found = [
        _of_set(policy),
        *(
            Statement(LOOSENED, one.id, one.where, dict(reading.parts_of(one, one.id)))
            for one in policy.loosened
        ),
        *(reading.rule(AGENT, policy.written[id_]) for id_ in policy.agents),
        *(
            reading.rule(kind, policy.written.get(rule.id, rule))
            for kind, field in FIELD_OF_KIND.items()
            for rule in getattr(policy, field)
        ),
        *(reading.rule(BOUND, bound) for bound in policy.bounds.values()),
        *_of_bedside(bedside, reading),
    ]
    found += reading.numbers_alone(
        {f"{id_}.{end}" for id_ in policy.bounds for end in ("low", "high")}
    )
    found += [
        Statement(SOURCE, one.id, "", dict(reading.parts_of(one, one.id)))
        for one in bedside.sources.values()
    ]
    found += questions_of(policy)
    known = frozenset(compared_kinds())
    return [one for one in found if one.kind in known]


def _of_set(policy: Policy) -> Statement:
    return Statement(
        SET,
        SET,
        f"{policy.folder}/set.toml: set",
        {
            "title": policy.title,
            "call": policy.call,
            "antiseptics": policy.antiseptics,
            "dressings": policy.dressings,
            "abstract": policy.abstract,
        },
    )


def _of_bedside(bedside: Bedside, reading: _Reading) -> Iterator[Statement]:
    for procedure in bedside.procedures.values():
        yield reading.row(PROCEDURE, procedure.id, procedure, without=("steps",))
        yield from _steps(procedure, reading)
    groups: dict[str, Iterable[Any]] = {
        ITEM: bedside.items.values(),
        RULE: bedside.rules,
        NEEDED: bedside.needed,
        HEAD: bedside.heads,
        KIND: bedside.kinds,
        SAFE: bedside.safe,
        SLIP: bedside.slips,
        MOVE: bedside.moves,
    }
    for kind, rows in groups.items():
        yield from (reading.row(kind, row.id, row) for row in rows)
    for spare in bedside.room:
        yield reading.row(SPARE, spare.item, spare)


def _steps(procedure: Procedure, reading: _Reading) -> Iterator[Statement]:
    for step in procedure.steps:
        yield reading.row(STEP, f"{procedure.id}/{step.id}", step)


def questions_of(policy: Policy) -> list[Statement]:
    """Return each fact that a plan may ask for, with the rules that may ask for it.

    A plan asks for what leaves a bar, a referral or a site rule open; of what only the
    bare site shows it asks nothing.
    """
    asking = [rule for rule in policy.exclusions if rule.if_unknown == "ask"]
    groups = {
        "before an antiseptic is chosen, for": [
            *(rule for rule in asking if set(rule.bars) & set(policy.antiseptics)),
            *policy.referrals,
        ],
        "beside the plan, for": [
            *(rule for rule in asking if set(rule.bars) & set(policy.dressings)),
            *policy.site_rules,
        ],
    }
    found = []
    for fact, kind in FACTS.items():
        parts = {
            name: tuple(sorted({r.id for r in rules if _compares(r, fact)}))
            for name, rules in groups.items()
        }
        if kind.ask and any(parts.values()):
            found.append(Statement(QUESTION, kind.label, "", parts))
    return found


def _compares(rule: Rule, fact: str) -> bool:
    return any(one.fact == fact for row in rule.when for one in row)


class _Reading:
    """Takes statements apart, and keeps which numbers were written in place."""

    def __init__(self, numbers: Mapping[str, Number]) -> None:
        self._numbers = numbers
        self._in_place: set[str] = set()

    def rule(self, kind: str, rule: Any) -> Statement:
        """Return a rule as a statement."""
        return self.row(kind, rule.id, rule)

    def row(
        self, kind: str, id_: str, row: Any, without: tuple[str, ...] = ()
    ) -> Statement:
        """Return a row of a file as a statement."""
        parts = dict(self.parts_of(row, row_id(row), without))
        return Statement(kind, id_, row.where, parts)

    def parts_of(
        self, row: Any, owner: str, without: tuple[str, ...] = ()
    ) -> Iterator[tuple[str, Any]]:
        """Yield name and content of each part; rows within a row one by one."""
        for one in fields(row):
            content = getattr(row, one.name)
            if one.name in ("id", "where", *without):
                continue
            if one.name == "when" and content and isinstance(content[0], tuple):
                yield from self._conditions(content, owner)
            elif _are_rows(content):
                yield from self._rows(one.name, content, owner)
            elif is_dataclass(content) and not isinstance(content, type):
                for name, inner in self.parts_of(content, owner):
                    yield f"{one.name}: {name}", inner
            else:
                yield from self._told(one.name, content, owner)

    def _rows(
        self, name: str, rows: tuple[Any, ...], owner: str
    ) -> Iterator[tuple[str, Any]]:
        yield f"which {name}", tuple(_key(row, n) for n, row in enumerate(rows))
        for number, row in enumerate(rows):
            for inner, content in self.parts_of(row, owner):
                yield f"{name}, {_key(row, number)}: {inner}", content

    def _conditions(
        self, when: tuple[Any, ...], owner: str
    ) -> Iterator[tuple[str, Any]]:
        """Yield the conditions, and apart from them each number written in place."""
        yield "when", when
        for row in when:
            for one in row:
                named = one.number if isinstance(one, Comparison) else None
                if self._in_place_number(named, owner):
                    yield from self._told(f"when {one.fact} {one.test}", named, owner)

    def _told(self, name: str, content: Any, owner: str) -> Iterator[tuple[str, Any]]:
        """Yield a part; of a number written in place its days and its sources."""
        number = self._in_place_number(content, owner)
        if number is None:
            yield name, content
            return
        self._in_place.add(number.id)
        yield name, days_of(number)
        yield f"{name}: source", _sources(number)

    def _in_place_number(self, content: Any, owner: str) -> Number | None:
        if isinstance(content, str) and content.startswith(f"{owner}."):
            return self._numbers.get(content)
        return None

    def numbers_alone(self, besides: set[str]) -> list[Statement]:
        """Return the numbers that have a name of their own."""
        return [
            Statement(NUMBER, number.id, number.where, _number_parts(number))
            for number in self._numbers.values()
            if number.id not in self._in_place and number.id not in besides
        ]


def row_id(row: Any) -> str:
    """Return what a row's numbers written in place begin with."""
    return str(getattr(row, "id", ""))


def days_of(number: Number) -> DaysOfValue:
    """Return the values of a number with their days."""
    return DaysOfValue(
        tuple((v.start, Amount(v.value, number.unit)) for v in number.values)
    )


def _number_parts(number: Number) -> dict[str, Any]:
    return {
        "means": number.means,
        "value": days_of(number),
        "stricter": number.stricter,
        "source": _sources(number),
    }


def _sources(number: Number) -> tuple[Any, ...]:
    return tuple((v.start, v.source, v.how) for v in number.values)


def _are_rows(content: Any) -> bool:
    return (
        isinstance(content, tuple)
        and bool(content)
        and is_dataclass(content[0])
        and not isinstance(content[0], type)
    )


def _key(row: Any, number: int) -> str:
    found = next((getattr(row, key) for key in KEYS if hasattr(row, key)), None)
    return str(number + 1 if found is None else found)
