"""The references of policies and of case files list all that the readers read.

The expected rows are made from the code; a row that is missing is printed, ready to
be pasted.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.model.reading import Reader
from lumenkeep.core.model.signs import SIGNS
from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.policy.numbers import UNITS
from lumenkeep.core.policy.read_basics import HOW, Gathered, read_number, read_source
from lumenkeep.core.policy.read_rules import BATHS, KINDS, RuleReader, read_agent
from lumenkeep.core.policy.vocabulary import FACTS, TASKS
from lumenkeep.files.case.schema import case_schema

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

DOCS = Path(__file__).parents[2] / "docs"
POLICY = (DOCS / "for-hospitals" / "reference-policy.md").read_text("utf-8")
CASE = (DOCS / "for-engineers" / "reference-case.md").read_text("utf-8")
SHARED = {"id", "because", "source", "how", "when", "numbers", "reports"}
KEY = re.compile(r"^\| `([^`]+)` \|", re.MULTILINE)
NAMES_OF_FAMILY = {
    "time": "a time",
    "gestation": "a gestation",
    "g": "a mass in g",
    "count": "a count",
}


def section(page: str, heading: str) -> str:
    """Return what stands under a heading, up to the next one of any level."""
    found = re.search(rf"^#+ {re.escape(heading)}\n(.*?)(?=^#|\Z)", page, re.M | re.S)
    assert found, f"there is no heading '{heading}'"
    return found[1]


def keys_read(read: Callable[[Reader], object]) -> set[str]:
    """Return every key that a reader asks its table for."""
    table = Reader({}, "x: ", [], "policy")
    read(table)
    return table._seen


def fact_rows() -> Iterator[str]:
    """Yield the row of each fact that a rule may speak of."""
    for name, kind in FACTS.items():
        tests = ", ".join(f"`{test}`" for test in kind.tests)
        if kind.family:
            against = NAMES_OF_FAMILY[kind.family]
        elif kind.allowed is not None:
            against = ", ".join(f"`{word}`" for word in kind.allowed)
        else:
            against = "the antiseptics that the set names"
        yield f"| `{name}` | {kind.label} | {tests} | {against} |"


def case_keys(schema: dict[str, Any], path: str = "") -> Iterator[str]:
    """Yield the path of every key of a case, lists marked with []."""
    for choice in schema.get("anyOf", []):
        yield from case_keys(choice, path)
    if "items" in schema:
        yield from case_keys(schema["items"], f"{path}[]")
    for name, part in schema.get("properties", {}).items():
        inner = f"{path}.{name}" if path else name
        yield inner
        yield from case_keys(part, inner)


@pytest.mark.parametrize("row", list(fact_rows()))
def test_every_fact_is_listed_with_its_tests_and_words(row: str) -> None:
    assert row in section(POLICY, "Facts").splitlines()


def test_no_fact_is_listed_that_is_none() -> None:
    assert set(KEY.findall(section(POLICY, "Facts"))) == set(FACTS)


@pytest.mark.parametrize("kind", list(KINDS))
def test_every_kind_of_rule_is_listed_with_its_keys(kind: str) -> None:
    reading = RuleReader(Gathered(), ("an-agent",))
    keys = keys_read(lambda row: KINDS[kind](row, reading))

    listed = set(KEY.findall(section(POLICY, f"`[[{kind}]]`")))

    assert listed == keys - SHARED


def test_the_named_tables_are_listed_with_their_keys() -> None:
    reading = RuleReader(Gathered(), ("an-agent",))
    readers = {
        "`[agent.<id>]`": (lambda row: read_agent(row, "x", reading), SHARED),
        "`[source.<id>]`": (lambda row: read_source(row, "x", Gathered()), set()),
        "`[number.<id>]`": (lambda row: read_number(row, "x", Gathered()), set()),
    }

    for heading, (read, shared) in readers.items():
        listed = set(KEY.findall(section(POLICY, heading)))
        assert listed == keys_read(read) - shared, heading


def test_the_shared_keys_are_listed() -> None:
    assert set(KEY.findall(section(POLICY, "Keys of every rule"))) == SHARED


@pytest.mark.parametrize(
    ("heading", "words"),
    [
        ("Units", UNITS),
        ("Tasks", TASKS),
        ("How a source is known", HOW),
        ("What can be barred", (*DRESSINGS, *BATHS)),
        ("Signs", SIGNS),
    ],
)
def test_a_closed_list_is_listed_in_full(heading: str, words: tuple[str, ...]) -> None:
    assert set(KEY.findall(section(POLICY, heading))) == set(words)


def test_every_key_of_a_case_is_listed_and_no_other() -> None:
    assert set(KEY.findall(section(CASE, "Keys"))) == set(case_keys(case_schema()))
