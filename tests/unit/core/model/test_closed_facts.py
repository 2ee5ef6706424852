"""Facts of closed lists: none is kept and not said, and none is said and never charted."""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, datetime
from typing import Any

import pytest

from lumenkeep.core.entries import every_kind, kind_of, line_state
from lumenkeep.core.model import NEVER_CHARTED, NOT_GIVEN, Child, Line, Unknown
from lumenkeep.core.model.case import skin_of
from lumenkeep.core.model.closed_facts import (
    CLOSED_FACTS,
    ClosedFact,
    stated_in,
    stated_once_in,
)
from lumenkeep.core.model.entry import Entry

AT = datetime(2026, 12, 1, 12, tzinfo=UTC)
TABLES = (Child, Line)
# What an entry says by which its kind, and no field of it alone, states the fact.
TAKEN: dict[str, dict[str, Any]] = {
    "skin_at_site": {"state": "broken"},
    "site": {"site": "chest"},
    "line_kind": {"kind": "port"},
    "unit": {"unit": "ward"},
    "needle_in": {"doing": "in"},
    "patency": {"blood_return": "yes", "flush": "easy"},
}
each_fact = pytest.mark.parametrize("fact", CLOSED_FACTS, ids=lambda one: one.name)


@pytest.mark.parametrize("table", TABLES)
def test_no_word_and_no_yes_or_no_is_kept_that_is_not_said_here(
    table: type[Child] | type[Line],
) -> None:
    kept = {
        one.name: one.type
        for one in fields(table)
        if one.type in ("Fact[bool]", "Fact[str]")
    }
    said = {
        fact.attribute: "Fact[bool]" if fact.is_yes_no else "Fact[str]"
        for fact in stated_in(table)
    }

    assert kept == said


@each_fact
def test_a_fact_is_told_whole(fact: ClosedFact) -> None:
    assert len(fact.says) == len(fact.whose) > 0
    assert fact.usual in fact.answers
    assert fact.plain is None or fact.plain in fact.answers
    assert fact.phrases is None or fact.is_yes_no
    assert fact.ask.endswith("?")


@each_fact
def test_its_entry_states_it(fact: ClosedFact) -> None:
    kind = kind_of(fact.charted_in)
    assert kind is not None
    body = TAKEN.get(fact.name)
    if body is None:
        [own] = [f for f in kind.fields if f.sets.endswith(f".{fact.attribute}")]
        body = {own.key: True}
    line = None if fact.whose[0] is Child else "l-1"
    entry = Entry(1, "c-1", line, kind.id, AT, AT, "s-1", "own", None, body)
    case = line_state([entry], AT, UTC).case

    assert fact.answer(case.child, case.line) in fact.answers
    assert dict(case.known_since)[fact.name] == AT


def test_what_a_field_states_is_a_fact_of_child_or_line() -> None:
    """Of the line, a misspelt one would be kept as a task of that name, unseen."""
    kept = {
        f"{table.__name__.lower()}.{f.name}" for table in TABLES for f in fields(table)
    }
    stated = {f.sets for kind in every_kind().values() for f in kind.fields if f.sets}

    assert stated <= kept


def test_names_are_said_once() -> None:
    assert len({fact.name for fact in CLOSED_FACTS}) == len(CLOSED_FACTS)


def test_each_fact_is_stated_once_by_child_or_line() -> None:
    once = [*stated_once_in(Child), *stated_once_in(Line)]

    assert sorted(f.name for f in once) == sorted(f.name for f in CLOSED_FACTS)


@pytest.mark.parametrize("own", [NOT_GIVEN, "broken"])
@pytest.mark.parametrize("general", [NEVER_CHARTED, "intact"])
def test_the_skin_at_the_lines_own_site_goes_first(
    own: str | Unknown, general: str | Unknown
) -> None:
    [skin] = [fact for fact in CLOSED_FACTS if fact.whose == (Child, Line)]
    child, line = Child(skin_at_site=general), Line(skin_at_site=own)

    assert skin.value(child, line) == skin_of(child, line)


def test_an_answer_is_yes_no_or_unknown() -> None:
    [used] = [fact for fact in CLOSED_FACTS if fact.name == "in_use"]
    told = [
        used.answer(Child(), Line(in_use=said)) for said in (True, False, NOT_GIVEN)
    ]

    assert told == ["yes", "no", None]
    assert [used.written(word) for word in ("yes", "no")] == [True, False]
