"""What a proof does not show, and what it stood on, in the set's own numbers."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from tests.policy.own_set import OwnSet

from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.read_rules import KINDS
from lumenkeep.text.policy.coverage_page import coverage_page
from lumenkeep.text.policy.said_of_proof import said_of
from lumenkeep.text.policy.what_is_proved import (
    HELD,
    HOLDERS,
    NOT_PROVED,
    every_statement,
    held_by,
)

WATCH = "published/watch.toml"
DAY = date(2026, 11, 30)
PAGE = Path(__file__).parents[2] / "docs" / "for-hospitals" / "what-is-proved.md"
SHIPPED = ("quillmere", "uk-guideline", "us-guideline")


@pytest.mark.parametrize("statement", every_statement())
def test_every_statement_has_a_row_of_known_words(statement: str) -> None:
    by = held_by(statement)

    assert by, "say in HELD what holds it, or that nothing does"
    assert set(by) <= {*HOLDERS, *NOT_PROVED}


def test_every_table_of_the_reader_is_among_the_statements() -> None:
    tables = {statement.partition(".")[0] for statement in every_statement()}

    assert tables >= {*KINDS, "set", "source", "number", "agent"}
    assert tables >= {
        "procedure",
        "part",
        "step",
        "item",
        "rule",
        "slip",
        "move",
        "spare",
    }


def test_no_row_is_written_for_what_no_reader_asks_for() -> None:
    statements = every_statement()
    for key in HELD:
        table = key.removesuffix("*")
        assert key in statements or (
            key.endswith("*") and any(one.startswith(table) for one in statements)
        ), key


def test_every_property_and_every_limit_of_the_proof_has_a_statement() -> None:
    used = {by for statement in every_statement() for by in held_by(statement)}

    assert used | {"bedside"} == {*HOLDERS, *NOT_PROVED}


def test_the_page_is_current() -> None:
    assert PAGE.read_text("utf-8") == coverage_page(), "run: make proved-page"


@pytest.mark.parametrize("name", SHIPPED)
def test_what_is_not_proved_names_every_limit(name: str) -> None:
    said = said_of(load_policy(name), DAY)

    for key, says in NOT_PROVED.items():
        assert (says in said.not_proved) == (key != "world")


def test_what_is_believed_names_the_sets_own_numbers(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).later(WATCH, "length-error", "2026-06-01", 3)

    before = said_of(load_policy("quillmere"), DAY).believed
    after = said_of(own.read(), DAY).believed

    changed = set(after) - set(before)
    assert [one for one in changed if "a bell curve of 3 mm" in one]
    assert len(changed) == 1
    for bound in ("mass-g", "gestation", "lumens"):
        assert any(one.startswith(f"{bound}: ") for one in after)


def test_what_no_step_takes_is_told(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).add(
        "published/supplies.toml",
        '\n[[supply]]\nid = "supply-spoon"\nbecause = "Nobody knows."\n'
        'source = "common-practice"\nitem = "spoon"\nlabel = "Spoon of wood"\n'
        'count = { value = 1, unit = "count", from = 2024-01-01, source = "common-practice" }\n',
    )

    [told] = [s for s in said_of(own.read(), DAY).not_proved if "no step" in s]

    assert "spoon of wood" in told.lower()


def test_a_set_that_changes_no_dressing_says_that_nothing_is_laid_out(
    tmp_path: Path,
) -> None:
    own = OwnSet(tmp_path)
    for file in (own.folder / "published" / "procedures").glob("*.toml"):
        text = file.read_text(encoding="utf-8")
        for resets, less in (('["dressing"]', "[]"), (', "dressing"]', "]")):
            text = text.replace(f"resets = {resets}", f"resets = {less}")
            text = text.replace(f'"port-needle"{resets}', f'"port-needle"{less}')
        file.write_text(text, encoding="utf-8")

    told = said_of(own.read(), DAY).not_proved

    assert any("no procedure that changes a dressing" in one for one in told)
    for name in SHIPPED:
        plain = said_of(load_policy(name), DAY).not_proved
        assert not any("no procedure that changes" in one for one in plain)
