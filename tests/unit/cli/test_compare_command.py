"""`lumenkeep compare`: what it says, what it never says, and its exit codes."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.core.comparing.compare_policies import not_compared
from lumenkeep.core.comparing.kinds import KIND_WORDS, WORKED_OUT

if TYPE_CHECKING:
    from pathlib import Path

HEAD = """
[set]
id = "own"
title = "Quillmere Children's: changing a central line's dressing"
version = "7"
extends = "quillmere"
call = "the vascular access nurse on call"
"""
LATER = """
[number.uac-stay]
means = "Longest stay of an umbilical arterial line"
unit = "calendar-days"
values = [
  { from = 2024-01-01, value = 5, source = "CDC11" },
  { from = 2028-01-01, value = 10, source = "CDC11" },
]
"""


def run(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["compare", *words])
    return result.exit_code, result.stdout, result.stderr


def written(folder: Path, text: str = "") -> str:
    folder.mkdir()
    (folder / "set.toml").write_text(HEAD + text, encoding="utf-8")
    return str(folder)


def test_nothing_found_is_never_said_to_be_the_same() -> None:
    code, out, err = run("quillmere", "quillmere")

    assert (code, err) == (0, "")
    assert "No difference was found in what was compared." in out
    assert "the same" not in out.split("Not compared:")[0]
    for line in (*KIND_WORDS.values(), *WORKED_OUT.values(), *not_compared()):
        assert f"  {line}\n" in out


def test_what_changes_only_later_says_from_when(tmp_path: Path) -> None:
    code, out, err = run("quillmere", written(tmp_path / "own", LATER))

    assert (code, err) == (0, "")
    assert "from 2028-01-01: value: 5 days → 10 days" in out
    assert "No difference" not in out


def test_json_and_text_say_the_same_words(tmp_path: Path) -> None:
    own = written(tmp_path / "own", LATER)
    _, text, _ = run("quillmere", own)
    code, out, _ = run("quillmere", own, "--json")
    told = json.loads(out)

    assert code == 0
    assert told["differs"] is True
    assert told["exact"] is True
    for one in told["statements"]:
        for line in one["says"]:
            assert line in text
    assert told["compared"]["statement_by_statement"] == [
        *KIND_WORDS.values(),
        *WORKED_OUT.values(),
    ]
    assert told["not_compared"] == list(not_compared())


def test_a_set_that_cannot_be_read_leaves_with_2(tmp_path: Path) -> None:
    (tmp_path / "set.toml").write_text("[set]\n", encoding="utf-8")

    code, out, err = run("quillmere", str(tmp_path))

    assert (code, out) == (2, "")
    assert "[policy-missing]" in err


def test_children_whom_only_one_set_believes_are_compared_too(tmp_path: Path) -> None:
    more = """
[[bound]]
id = "lumens"
because = "A line of ours has {high:words}."
low = 1
high = 9
unit = "count"
from = 2024-01-01
source = "common-practice"
restates = true

[[refer]]
id = "many-lumens"
because = "Very many lumens."
source = "common-practice"
when = [{ lumens = { at_least = { value = 7, unit = "count", from = 2024-01-01, source = "common-practice" } } }]
"""
    code, out, err = run("quillmere", written(tmp_path / "own", more))

    assert (code, err) == (0, "")
    assert "7 lumens or more" in out
    assert "bounds of the world" in out.lower()
