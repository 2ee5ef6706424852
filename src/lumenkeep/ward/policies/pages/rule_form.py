"""The form of a rule: what it does, for whom, why and by which source.

What was typed is kept as it was; adding or dropping a condition only draws the form
again. A condition is named by the row it stands in and its number there.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.policy.vocabulary import FACTS, SPAN_TESTS, TASKS
from lumenkeep.errors import Fault
from lumenkeep.ward.policies.pages.number_form import (
    OWN,
    Slot,
    Typed,
    first,
    number_from,
    slot,
    typed_number,
)
from lumenkeep.ward.policies.pages.words import BATHS, TESTS, label_of
from lumenkeep.ward.site.pages.shapes import Option

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.policies.parts import Table

CONDITION = re.compile(r"c(\d{1,2})\.(\d{1,2})\.fact")
TEXTS = ("because", "source", "how", "lifts", "call", "task", "if_unknown", "kind")
FLAGS = ("takes_away", "nothing_due")
OWN_KEYS = ("value", "unit", "from", "source")
"""Fields of a number that is written in a rule itself."""
SLOTS = {"not_before": "Not before", "not_after": "Not after"}
FIELDS = {
    "exclude": ("bars", "if_unknown", "lifts", "takes_away"),
    "interval": ("task", "not_before", "not_after", "priority", "nothing_due"),
    "at_once": ("task",),
    "refer": ("call", "takes_away"),
    "note": ("kind",),
    "require": (),
}
IF_UNKNOWN = {
    "ask": "Ask before going on",
    "look": "Go on, and look when the site is bare",
}
NOTE_KINDS = {"caution": "A caution", "look": "Something to look at"}


@dataclass(frozen=True, slots=True)
class ConditionForm:
    """One condition as the form shows it."""

    name: str
    fact: str
    fact_label: str
    tests: tuple[Option, ...]
    slot: Slot | None
    choices: tuple[Option, ...]
    fault: Fault | None


@dataclass(frozen=True, slots=True)
class ConditionRow:
    """Conditions that must all hold."""

    place: int
    conditions: tuple[ConditionForm, ...]
    facts: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class RuleForm:
    """A rule as its page shows it."""

    kind: str
    id: str
    texts: Mapping[str, str]
    bars: tuple[Option, ...]
    tasks: tuple[Option, ...]
    if_unknown: tuple[Option, ...]
    note_kinds: tuple[Option, ...]
    slots: tuple[Slot, ...]
    takes_away: bool
    nothing_due: bool
    rows: tuple[ConditionRow, ...]
    new_facts: tuple[Option, ...]
    next_row: int
    faults: Mapping[str, Fault] = field(default_factory=dict)

    @property
    def ids(self) -> dict[str, str]:
        """Ids of the fields, by their names; a fault of the whole leads to the reason."""
        names = ["because", "numbers", "source", "how", "when", *FIELDS[self.kind]]
        conditions = [one for row in self.rows for one in row.conditions]
        names += [f"{one.name}.test" for one in conditions]
        names += [f"{one.name}.words" for one in conditions if one.slot is None]
        slots = [*self.slots, *(one.slot for one in conditions if one.slot)]
        names += [one.name for one in slots]
        names += [f"{one.name}.{key}" for one in slots for key in OWN_KEYS]
        return {"": "because", **{name: name for name in names}}


# ------------------------------------------------------------ table to fields


def typed_from(table: Table, today: date) -> dict[str, list[str]]:
    """Return the fields of a rule as it stands."""
    typed = {key: [str(table[key])] for key in TEXTS if key in table}
    typed |= {key: ["yes"] for key in FLAGS if table.get(key)}
    typed["bars"] = _words(table.get("bars", ()))
    typed["numbers"] = [", ".join(_words(table.get("numbers", ())))]
    typed["priority"] = [str(table.get("priority", ""))]
    for name in SLOTS:
        typed |= typed_number(table.get(name), name, today)
    for row, facts in enumerate(table.get("when", ())):
        for fact, tests in facts.items():
            for test, operand in tests.items():
                typed |= _condition_fields(typed, row, fact, test, operand, today)
    return typed


def _condition_fields(
    typed: Typed, row: int, fact: str, test: str, operand: Any, today: date
) -> dict[str, list[str]]:
    name = f"c{row}.{_next(typed, row)}"
    found = {f"{name}.fact": [fact], f"{name}.test": [test]}
    if test in SPAN_TESTS:
        return found | typed_number(operand, f"{name}.limit", today)
    return found | {f"{name}.words": _words(operand)}


def _words(value: Any) -> list[str]:
    return [value] if isinstance(value, str) else [str(word) for word in value]


def _named(typed: Typed) -> list[tuple[int, int]]:
    found = [CONDITION.fullmatch(name) for name in typed]
    return sorted((int(m[1]), int(m[2])) for m in found if m)


def _next(typed: Typed, row: int) -> int:
    return max((place for one, place in _named(typed) if one == row), default=-1) + 1


# ------------------------------------------------------------ fields to table


def table_from(kind: str, id_: str, typed: Typed) -> dict[str, Any]:
    """Return the rule that the fields say; what is empty is left out."""
    found: dict[str, Any] = {"id": id_}
    for key in ("because", "source", "how"):
        found[key] = first(typed, key).strip()
    for key in FIELDS[kind]:
        if key == "bars":
            found[key] = list(typed.get(key, ()))
        elif key in FLAGS:
            found[key] = bool(typed.get(key))
        elif key in SLOTS:
            found[key] = number_from(typed, key)
        elif key == "priority":
            text = first(typed, key).strip()
            found[key] = int(text) if text.isascii() and text.isdigit() else text
        else:
            found[key] = first(typed, key).strip()
    named = first(typed, "numbers").replace(",", " ")
    found["numbers"] = named.split()
    found["when"] = [row for _, row in _when(typed)]
    return {k: v for k, v in found.items() if v not in ("", None, False, [])}


def _when(typed: Typed) -> list[tuple[int, dict[str, dict[str, Any]]]]:
    rows: dict[int, dict[str, dict[str, Any]]] = {}
    for row, place in _named(typed):
        name = f"c{row}.{place}"
        fact, test = first(typed, f"{name}.fact"), first(typed, f"{name}.test")
        operand = (
            number_from(typed, f"{name}.limit")
            if test in SPAN_TESTS
            else list(typed.get(f"{name}.words", ()))
        )
        tests = rows.setdefault(row, {}).setdefault(fact, {})
        tests[test] = "" if operand is None else operand
    return sorted(rows.items())


def fault_fields(typed: Typed, faults: Mapping[str, Fault]) -> dict[str, Fault]:
    """Return faults by the name of their field, from their path in the rule."""
    rows = [row for row, _ in _when(typed)]
    starts = {}
    for row, place in _named(typed):
        name = f"c{row}.{place}"
        fact, test = first(typed, f"{name}.fact"), first(typed, f"{name}.test")
        path = f"when[{rows.index(row)}].{fact}"
        starts[f"{path}.{test}"] = (
            f"{name}.limit" if test in SPAN_TESTS else f"{name}.words"
        )
        starts.setdefault(path, f"{name}.words")
    found = {}
    for path, fault in faults.items():
        start = max((s for s in starts if path.startswith(s)), key=len, default=None)
        name = path if start is None else starts[start] + path[len(start) :]
        found[name.split("[")[0] if name.startswith("bars") else name] = fault
    return found


def said_twice(typed: Typed) -> dict[str, Fault]:
    """Return a fault for each condition that its row holds already, by its field.

    A row can hold one comparison of a kind; of two, one would be lost in silence.
    """
    seen: set[tuple[int, str, str]] = set()
    found = {}
    for row, place in _named(typed):
        name = f"c{row}.{place}"
        fact, test = first(typed, f"{name}.fact"), first(typed, f"{name}.test")
        if (row, fact, test) in seen:
            field_ = f"{name}.limit" if test in SPAN_TESTS else f"{name}.words"
            found[field_] = Fault(
                "policy-edit-said-twice",
                "This is compared in the same way a line further up.",
                field_,
                "drop one of the two, or add it under other children",
            )
        seen.add((row, fact, test))
    return found


# ------------------------------------------------------------ what a button does


def rearranged(typed: Typed, do: str, today: date) -> dict[str, list[str]]:
    """Return the fields after a condition was added or dropped.

    Parameters
    ----------
    do
        ``add:<row>`` adds the fact chosen under ``add<row>``; ``drop:<row>.<place>``
        takes one out.
    """
    fields = {name: list(values) for name, values in typed.items()}
    what, _, where = do.partition(":")
    if what == "add" and where.isdigit():
        fact = first(typed, f"add{where}")
        if fact in FACTS:
            name = f"c{int(where)}.{_next(typed, int(where))}"
            kind = FACTS[fact]
            fields[f"{name}.fact"] = [fact]
            fields[f"{name}.test"] = [kind.tests[0]]
            if kind.family is not None:
                fields[f"{name}.limit"] = [OWN]
                fields[f"{name}.limit.from"] = [today.isoformat()]
    elif what == "drop":
        fields = {n: v for n, v in fields.items() if not n.startswith(f"c{where}.")}
    return fields


# ------------------------------------------------------------ fields to form


def rule_form(
    kind: str, id_: str, typed: Typed, policy: Policy, faults: Mapping[str, Fault]
) -> RuleForm:
    """Return the form with what was typed, and each fault beside its field."""
    items = {**{a: label_of(policy, a) for a in policy.agents}, **DRESSINGS, **BATHS}
    places = sorted({row for row, _ in _named(typed)})
    return RuleForm(
        kind=kind,
        id=id_,
        texts={key: first(typed, key) for key in (*TEXTS, "priority", "numbers")},
        bars=_choices(items, typed.get("bars", ())),
        tasks=_choices(TASKS, typed.get("task", ())),
        if_unknown=_choices(IF_UNKNOWN, typed.get("if_unknown") or ["ask"]),
        note_kinds=_choices(NOTE_KINDS, typed.get("kind") or ["caution"]),
        slots=tuple(
            slot(typed, name, label, "time", policy, faults, may_be_empty=True)
            for name, label in SLOTS.items()
            if name in FIELDS[kind]
        ),
        takes_away=bool(typed.get("takes_away")),
        nothing_due=bool(typed.get("nothing_due")),
        rows=tuple(_row(typed, place, policy, faults) for place in places),
        new_facts=_facts(),
        next_row=max(places, default=-1) + 1,
        faults=faults,
    )


def _row(
    typed: Typed, place: int, policy: Policy, faults: Mapping[str, Fault]
) -> ConditionRow:
    conditions = tuple(
        _condition(typed, f"c{row}.{number}", policy, faults)
        for row, number in _named(typed)
        if row == place
    )
    return ConditionRow(place, conditions, _facts())


def _condition(
    typed: Typed, name: str, policy: Policy, faults: Mapping[str, Fault]
) -> ConditionForm:
    fact = first(typed, f"{name}.fact")
    kind = FACTS.get(fact, FACTS["site"])
    limit = f"{name}.limit"
    allowed = kind.allowed or {a: label_of(policy, a) for a in policy.agents}
    is_number = kind.family is not None
    return ConditionForm(
        name=name,
        fact=fact,
        fact_label=kind.label,
        tests=_choices(
            {t: TESTS[t] for t in kind.tests}, typed.get(f"{name}.test", ())
        ),
        slot=slot(
            typed,
            limit,
            kind.label,
            kind.family or "",
            policy,
            faults,
            may_be_empty=False,
        )
        if is_number
        else None,
        choices=() if is_number else _choices(allowed, typed.get(f"{name}.words", ())),
        fault=next(
            (f for path, f in faults.items() if path.startswith(f"{name}.words")), None
        ),
    )


def _facts() -> tuple[Option, ...]:
    return tuple(
        Option(key, fact.label, is_chosen=False) for key, fact in FACTS.items()
    )


def _choices(known: Mapping[str, str], chosen: Any) -> tuple[Option, ...]:
    return tuple(Option(key, text, key in chosen) for key, text in known.items())
