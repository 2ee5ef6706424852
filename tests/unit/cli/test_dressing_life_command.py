"""How long dressings hold, from a table: the answer, and every fault at once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import scipy.special  # noqa: F401  its slow import belongs to no test's time
from click.testing import CliRunner

from lumenkeep.cli.main import main

EXAMPLE = Path(__file__).parents[3] / "docs" / "examples" / "demo-dressings.csv"


def run(text: str | None, *words: str) -> tuple[int, str, str]:
    table = str(EXAMPLE) if text is None else "-"
    result = CliRunner().invoke(main, ["dressing-life", table, *words], input=text)
    return result.exit_code, result.stdout, result.stderr


def test_the_answer_comes_first_then_groups_then_what_is_not_known() -> None:
    code, said, _ = run(None, "--by", "site")
    lines = said.splitlines()

    assert code == 0
    assert lines[0] == "Of 100 dressings, about 32 fail before day 7 (20 to 44)."
    assert [line.split(":")[0] for line in lines[3:6]] == [
        "site arm", "site neck", "site not known",
    ]  # fmt: skip
    assert lines[6].startswith("By site: the differences may be chance")
    assert lines[-1].startswith("Decision support")


def test_json_holds_every_number() -> None:
    value = json.loads(run(None, "--by", "kind", "--day", "5", "--json")[1])

    assert value["whole"]["before_day"] == 5
    assert sum(value["whole"]["ends"].values()) == value["whole"]["dressings"] == 60
    assert [group["group"] for group in value["groups"]] == [
        "film",
        "film with gel pad",
    ]
    assert value["comparison"]["test"]["weights"] == "log-rank"
    assert value["method"]["written_on"] == "2026-11-25"


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_tables_of_any_usual_kind_are_read(separator: str) -> None:
    rows = (
        ["Days", "END"],
        ["2,5" if separator != "," else "2.5", "Line out"],
        ["6", "planned"],
    )
    code, said, _ = run("\n".join(separator.join(row) for row in rows))

    assert code == 0
    assert "From 2 dressings on 2 lines of 2 children" in said


def test_every_fault_is_named_at_once() -> None:
    code, _, told = run("days,end\n1,faild\nx,planned\n-1,still-on\n")

    assert code == 2
    assert told.count("[life-bad-days]") == 2
    assert "row 2, end" in told
    assert "did you mean 'failed'?" in told


@pytest.mark.parametrize(
    ("text", "words", "codes"),
    [
        ("day,ends\n1,failed\n", (), ["life-no-column", "life-no-column"]),
        ("days,end\n1,failed\n", ("--by", "kind"), ["life-no-column"]),
        ("days,end\n", (), ["life-no-rows"]),
        ("", (), ["life-no-column", "life-no-column"]),
        ("days,end\n1,failed\n", ("--day", "0"), ["life-bad-horizon"]),
        (
            "days,end\n" + "x,planned\n" * 150,
            (),
            ["life-bad-days"] * 101 + ["life-too-many"],
        ),
        ('days,end\n1,"' + "x" * 200_000, (), ["life-not-readable"]),
    ],
)
def test_a_table_that_is_none_is_refused(text, words, codes) -> None:
    code, said, told = run(text, *words)

    assert (code, said) == (2, "")
    assert [
        line.rpartition("[")[2].rstrip("]") for line in told.splitlines() if "[" in line
    ] == codes


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["dressing-life", str(tmp_path / "no.csv")])

    assert result.exit_code == 2
    assert "[life-not-readable]" in result.stderr
