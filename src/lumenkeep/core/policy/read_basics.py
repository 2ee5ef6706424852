"""Read the parts that every rule shares: source, numbers and conditions.

References to numbers and sources are only noted here; they are checked when the
whole set, with what it extends, is known.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from lumenkeep.core.model.reading import Reader, shown
from lumenkeep.core.policy.conditions import Comparison, Row, When
from lumenkeep.core.policy.numbers import (
    LESS,
    MORE,
    UNITS,
    DatedValue,
    Number,
    read_value,
)
from lumenkeep.core.policy.rules import Source
from lumenkeep.core.policy.vocabulary import FACTS, SPAN_TESTS
from lumenkeep.errors import Fault

FIRST_YEAR, LAST_YEAR = 1950, 2100
"""Between which a value of a policy begins; another year is a slip of the pen."""
INSIDE = "."
"""A number written inside a rule is called by the rule, this mark and its key."""
HOW = ("found", "memory", "common-practice")
UNIT_EXAMPLES = {
    "weeks+days": 'a gestation in weeks and days between quotes, as in "28w0d"',
    "count": "a whole number, as in value = 3",
}


@dataclass(frozen=True, slots=True)
class Reference:
    """A number or source named somewhere, to be looked up later."""

    id: str
    family: str | None
    where: str
    owner: str = ""
    """Id of the rule that decides with it; empty for a source or a sentence."""


@dataclass(slots=True)
class Gathered:
    """What reading a set's files has found so far."""

    faults: list[Fault] = field(default_factory=list)
    numbers: dict[str, Number] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    number_refs: list[Reference] = field(default_factory=list)
    source_refs: list[Reference] = field(default_factory=list)
    places: dict[tuple[str, str], str] = field(default_factory=dict)

    def once(self, row: Reader, what: str, id_: str) -> None:
        """Note where a thing is said; a fault where its set said it before.

        Over a set that it extends, a set may say a thing anew.
        """
        before = self.places.get((what, id_), row.where)
        self.places[what, id_] = row.where
        if before != row.where and _set_of(before) == _set_of(row.where):
            self.faults.append(
                Fault(
                    "policy-same-id",
                    f"The {what} '{id_}' is said twice in this set.",
                    row.where,
                    f"keep one, or give it another id; the other stands at {before}",
                )
            )


def _set_of(where: str) -> str:
    """Return the set that a place lies in: what stands before its first stroke."""
    return where.partition("/")[0]


def read_source(row: Reader, id_: str, into: Gathered) -> Source:
    """Return one source."""
    into.once(row, "source", id_)
    source = Source(
        id=id_,
        title=row.text("title", needed=True) or "",
        body=row.text("body", needed=True) or "",
        year=row.whole("year", low=1900, high=2100, unit="years"),
        address=row.text("address"),
        covers=row.text("covers"),
        how=row.word("how", HOW, needed=True) or "memory",
    )
    row.finish()
    return source


def source_ref(row: Reader, into: Gathered) -> str:
    """Return the source a table names, noting the reference."""
    name = row.text("source", needed=True) or ""
    if name:
        into.source_refs.append(Reference(name, None, row.path("source")))
    return name


def refuse_empty(row: Reader, key: str, mend: str) -> None:
    """Note a fault for an empty list, which would else count as one never written."""
    if row.data.get(key) == []:
        row.fault("empty-list", f"The list '{key}' is empty.", key, mend)


def read_number(row: Reader, id_: str, into: Gathered) -> None:
    """Read one named number with all its dated values."""
    into.once(row, "number", id_)
    if INSIDE in id_:
        row.fault(
            "number-of-a-rule",
            f"'{id_}' is called like a number that is written inside a rule.",
            "means",
            "give it an id without a dot",
        )
    unit = row.word("unit", UNITS, needed=True)
    means = row.text("means", needed=True) or ""
    stricter = row.word("stricter", (LESS, MORE))
    values = []
    refuse_empty(row, "values", "write a value, or take the number out")
    for dated in row.rows("values"):
        value = _dated_value(dated, unit, into)
        dated.finish()
        if value is not None:
            values.append(value)
    if not row.has("values"):
        row.fault(
            "missing",
            f"Number '{id_}' has no values.",
            "values",
            "add values = [{ from = 2026-01-01, value = …, source = … }]",
        )
    row.finish()
    starts = [v.start for v in values]
    if len(set(starts)) != len(starts):
        row.fault(
            "same-start",
            f"Two values of '{id_}' start on the same day.",
            "values",
            "keep one value for each first day",
        )
    if unit is not None and values:
        values.sort(key=lambda v: v.start)
        into.numbers[id_] = Number(id_, means, unit, tuple(values), row.where, stricter)


def _dated_value(row: Reader, unit: str | None, into: Gathered) -> DatedValue | None:
    start = row.day("from", needed=True)
    source = source_ref(row, into)
    how = row.word("how", HOW)
    raw = row.raw("value")
    if raw is None:
        row.fault("missing", "'value' is missing.", "value", "add the number")
        return None
    if unit is None:
        return None
    try:
        value = read_value(raw, unit)
    except ValueError:
        example = UNIT_EXAMPLES.get(unit, f"a number of {unit}, as in value = 7")
        row.fault(
            "bad-number",
            f"{shown(raw)} is no count."
            if unit == "count"
            else f"{shown(raw)} is not a value in {unit}.",
            "value",
            f"write {example}",
        )
        return None
    if start is None:
        return None
    if not FIRST_YEAR <= start.year <= LAST_YEAR:
        row.fault(
            "impossible-day",
            f"No policy holds from {start} on.",
            "from",
            f"write a day between {FIRST_YEAR} and {LAST_YEAR}",
        )
    return DatedValue(start, value, str(raw), source, how)


def number_ref(
    row: Reader, key: str, family: str, owner: str, into: Gathered, *, needed: bool
) -> str | None:
    """Return the id of the number at ``key``: named elsewhere, or written in place.

    A number written in place is a table with ``value``, ``unit``, ``from`` and
    ``source``; its id is the rule's id and the key.
    """
    raw = row.raw(key)
    if raw is None:
        if needed:
            row.fault(
                "missing",
                f"'{key}' is missing.",
                key,
                "name a number, or write { value = …, unit = …, from = …, source = … }",
            )
        return None
    if isinstance(raw, str):
        into.number_refs.append(Reference(raw, family, row.path(key), owner))
        return raw
    table = row.table(key)
    if table is None:
        return None
    id_ = f"{owner}.{key}"
    unit = table.word("unit", UNITS, needed=True)
    value = _dated_value(table, unit, into)
    means = table.text("means") or f"'{key}' of rule {owner}"
    table.finish()
    if unit is not None and value is not None:
        into.numbers[id_] = Number(id_, means, unit, (value,), table.where)
        into.number_refs.append(Reference(id_, family, table.where))
    return id_


def read_when(
    row: Reader, owner: str, into: Gathered, extra: dict[str, tuple[str, ...]]
) -> When:
    """Return the rows of conditions under ``when``.

    Parameters
    ----------
    owner
        Id of the rule, for numbers written in place.
    extra
        Closed lists that the set itself names, by fact (its agents).
    """
    rows: list[Row] = []
    for position, line in enumerate(row.rows("when")):
        comparisons: list[Comparison] = []
        for fact in line.every_key():
            found = _comparisons(line, fact, f"{owner}.when{position}", into, extra)
            comparisons += found
        if not line.data:
            line.fault(
                "empty-row",
                "This row of conditions is empty.",
                "when",
                "name a fact, as in { age = { below = … } }, or leave 'when' out",
            )
        rows.append(tuple(comparisons))
    return tuple(rows)


def _comparisons(
    line: Reader,
    fact: str,
    owner: str,
    into: Gathered,
    extra: dict[str, tuple[str, ...]],
) -> list[Comparison]:
    kind = FACTS.get(fact)
    if kind is None:
        line.checked_word(fact, fact, FACTS)
        return []
    table = line.table(fact)
    if table is None:
        return []
    found = []
    for test in table.every_key():
        if test not in kind.tests:
            table.checked_word(test, test, kind.tests)
        elif test in SPAN_TESTS:
            number = number_ref(
                table, test, kind.family or "", f"{owner}.{fact}", into, needed=True
            )
            if number is not None:
                found.append(Comparison(fact, test, number=number))
        else:
            refuse_empty(table, test, "name what it is compared with")
            allowed: Any = kind.allowed if kind.allowed is not None else extra[fact]
            words = table.words(test, allowed, needed=True)
            if words:
                found.append(Comparison(fact, test, words=words))
    return found


def numbers_named(row: Reader, into: Gathered) -> tuple[str, ...]:
    """Return the numbers that a rule's sentences name beside those it decides with."""
    ids = row.words("numbers", None)
    where = row.path("numbers")
    into.number_refs.extend(Reference(id_, None, where) for id_ in ids)
    return ids


@dataclass(frozen=True, slots=True)
class RuleReader:
    """Where rules are read to, and the agents that the whole set knows."""

    into: Gathered
    agents: tuple[str, ...]

    def shared(
        self, row: Reader, id_: str | None = None, *, conditions: bool = True
    ) -> dict[str, Any]:
        """Return the fields that every rule has.

        Without ``conditions`` the rule counts always, and a key for them is unknown.
        """
        name = id_ or row.text("id", needed=True) or "without-id"
        return {
            "id": name,
            "because": row.text("because", needed=True) or "",
            "source": source_ref(row, self.into),
            "how": row.word("how", HOW),
            "where": row.where,
            "when": read_when(row, name, self.into, {"agent": self.agents})
            if conditions
            else (),
            "numbers": numbers_named(row, self.into),
        }

    def needs(self, row: Reader, key: str, family: str, owner: str) -> str:
        """Return the id of a number that must be there."""
        found = number_ref(row, key, family, owner, self.into, needed=True)
        return found or ""

    def may(self, row: Reader, key: str, family: str, owner: str) -> str | None:
        """Return the id of a number that may be left out."""
        return number_ref(row, key, family, owner, self.into, needed=False)
