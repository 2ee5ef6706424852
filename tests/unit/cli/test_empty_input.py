"""An empty file is no input: every command that reads one refuses it, and says where."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.errors import InputError
from lumenkeep.ward.site.hospital_file import hospital_from_text

if TYPE_CHECKING:
    from pathlib import Path

AT = "2026-03-05T09:30:00-06:00"
COMMANDS = {
    "plan": ["plan", "FILE", "--at", AT],
    "plan-json": ["plan", "FILE", "--at", AT, "--json"],
    "due": ["due", "FILE", "--at", AT],
    "due-json": ["due", "FILE", "--at", AT, "--json"],
    "determine": ["determine", "FILE"],
    "determine-json": ["determine", "FILE", "--json"],
    "dressing-life": ["dressing-life", "FILE"],
    "dressing-life-json": ["dressing-life", "FILE", "--json"],
    "rehearse": ["rehearse", "quillmere", "--case", "FILE", "--at", AT],
}
EMPTY = {
    "nothing": "",
    "blanks": " \n\t \r\n",
    "mark": "\ufeff",
    "table": "{}",
    "list": "[]",
    "null": "null",
    "text": '""',
}


CASES = ("plan", "due", "rehearse")
GIVEN = [
    (command, what)
    for command in COMMANDS
    for what in EMPTY
    # A case of which nothing is known is a case: the answer says what to ask.
    if not (what == "table" and command.startswith(CASES))
]


@pytest.mark.parametrize(("command", "what"), GIVEN)
def test_what_holds_nothing_is_refused(command: str, what: str, tmp_path: Path) -> None:
    path = tmp_path / "given.json"
    path.write_text(EMPTY[what], "utf-8")
    words = [str(path) if word == "FILE" else word for word in COMMANDS[command]]

    result = CliRunner().invoke(main, words)

    assert (result.exit_code, result.stdout) == (2, "")
    assert "given.json" in result.stderr


@pytest.mark.parametrize(
    ("command", "what"), [one for one in GIVEN if one[0] != "rehearse"]
)
def test_so_is_an_empty_standard_input(command: str, what: str) -> None:
    words = ["-" if word == "FILE" else word for word in COMMANDS[command]]

    result = CliRunner().invoke(main, words, input=EMPTY[what])

    assert (result.exit_code, result.stdout) == (2, "")
    assert "standard input" in result.stderr


@pytest.mark.parametrize(
    "words",
    [
        "poisson events= line_days=",
        "u-chart events= units=",
        "kappa table=",
        "run-rules z=",
        "cusum path=",
        "poisson",
    ],
)
def test_a_statistic_of_nothing_is_refused(words: str) -> None:
    result = CliRunner().invoke(main, ["stats", *words.split()])

    assert (result.exit_code, result.stdout) == (2, "")


def test_a_hospital_of_nothing_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        hospital_from_text("", "hospital.toml")

    assert "hospital.toml" in str(caught.value)
