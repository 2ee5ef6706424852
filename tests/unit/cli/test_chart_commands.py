"""``lumenkeep chart``: what is said, and how it ends."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from tests.fakes.chart_lines import row, text_of

from lumenkeep.cli.main import main

AT = "2026-11-24T08:00:00+00:00"
INSERTED = {
    "kind": "picc",
    "site": "upper-arm",
    "external_length_mm": 11,
    "dressing": "transparent",
}
BIRTH = row(1, "birth", {"born": "2026-11-01", "gestation": "38w0d"}, line=None)
LINE = row(2, "line-inserted", INSERTED)
PUS = row(3, "site-check", {"signs": ["discharge"]}, happened_at="2026-11-24T07:00:00Z")
OUT = row(4, "line-removed", {"reason": "done"}, happened_at="2026-11-24T07:30:00Z")


def run(*words: str, text: str | bytes = "") -> Result:
    return CliRunner().invoke(main, ["chart", *words], input=text)


def answer(*rows: Any, words: tuple[str, ...] = ()) -> dict[str, Any]:
    result = run("read", "-", "--at", AT, "--json", *words, text=text_of(*rows))
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_a_line_is_answered_whole() -> None:
    found = answer(BIRTH, LINE, PUS)

    assert list(found) == ["at", "lines"]
    assert found["at"] == AT
    (line,) = found["lines"]
    assert list(line) == [
        "line", "child", "do_not_use", "because", "facts", "due", "concerns", "length",
        "plan",
    ]  # fmt: skip
    assert (line["line"], line["child"], line["do_not_use"]) == ("l-1", "c-1", True)
    assert line["because"][0].startswith("Do not use the line until")
    assert line["facts"]["child"] == {
        "born": "2026-11-01", "gestation_at_birth": "38w0d",
    }  # fmt: skip
    assert line["facts"]["line"]["dressing"]["kind"] == "transparent"
    assert {tuple(one) for one in line["due"]} == {("task", "now", "at", "why")}
    assert line["concerns"] == [
        {
            "concern": "pus",
            "says": line["concerns"][0]["says"],
            "do_not_use": True,
            "since": "2026-11-24T07:00:00+00:00",
        }
    ]
    assert line["length"] == {"judgement": "no-shift-shown", "moved_mm": None}
    assert line["plan"]["spares"] is None


def test_the_plan_is_that_of_the_plan_command(tmp_path: Path) -> None:
    (line,) = answer(BIRTH, LINE, PUS, words=("--policy", "us-guideline"))["lines"]
    case = tmp_path / "case.json"
    case.write_text(json.dumps({**line["facts"], "zone": "UTC"}))
    said = CliRunner().invoke(
        main, ["plan", str(case), "--at", AT, "--json", "--policy", "us-guideline"]
    )
    plan = json.loads(said.stdout)
    plan["spares"] = None
    plan["supplies"] = [one for one in plan["supplies"] if not one["spare"]]

    assert line["plan"] == plan
    due = CliRunner().invoke(
        main, ["due", str(case), "--at", AT, "--json", "--policy", "us-guideline"]
    )
    tasks = json.loads(due.stdout)["tasks"]
    assert line["due"] == [
        {"task": t["task"], "now": t["now"], "at": t["due_at"], "why": t["why"]}
        for t in tasks
    ]


def test_a_line_that_is_out_stands_with_its_concerns() -> None:
    (line,) = answer(BIRTH, LINE, PUS, OUT)["lines"]

    assert (line["due"], line["plan"], line["do_not_use"]) == ([], None, True)
    assert [one["concern"] for one in line["concerns"]] == ["pus", "removed-unlooked"][
        :1
    ]


def test_a_shift_is_told_with_its_limits() -> None:
    moved = row(5, "site-check", {"external_length_mm": 61}, happened_at=AT)
    (line,) = answer(BIRTH, LINE, moved)["lines"]

    low, best, high = line["length"]["moved_mm"]
    assert line["length"]["judgement"] == "moved"
    assert best == 50
    assert low < best < high


def test_a_line_of_which_nothing_was_known_yet_is_not_there() -> None:
    late = row(7, "line-inserted", INSERTED, line="l-2", written_at="2026-11-25T08:00Z")

    assert [one["line"] for one in answer(BIRTH, LINE, late)["lines"]] == ["l-1"]


def test_a_line_whose_insertion_was_taken_back_is_out() -> None:
    back = row(5, "withdrawn", {}, corrects=2)

    (line,) = answer(BIRTH, LINE, PUS, back)["lines"]
    assert (line["due"], line["plan"], line["do_not_use"]) == ([], None, True)


def test_a_line_of_which_everything_was_taken_back_is_none() -> None:
    back = row(5, "withdrawn", {}, corrects=3)

    assert answer(BIRTH, PUS, back)["lines"] == []


def test_a_line_of_which_only_a_look_is_charted_is_there() -> None:
    (line,) = answer(PUS)["lines"]

    assert line["do_not_use"]


def test_an_entry_put_off_to_later_has_not_happened_yet() -> None:
    late = {**PUS, "id": 8, "corrects": 3, "happened_at": "2026-11-24T07:45:00Z"}
    early = ("--at", "2026-11-24T07:30:00+00:00")

    (line,) = answer(BIRTH, LINE, {**PUS, "written_at": AT}, words=early)["lines"]
    assert line["concerns"] == []
    (line,) = answer(BIRTH, LINE, PUS, late, words=early)["lines"]
    assert [one["concern"] for one in line["concerns"]] == ["pus"]
    written = {**late, "happened_at": "2026-11-24T07:50:00Z"}
    (line,) = answer(BIRTH, LINE, PUS, written)["lines"]
    assert line["concerns"][0]["since"] == "2026-11-24T07:50:00+00:00"


def test_the_zone_is_that_of_the_wall_clock() -> None:
    (line,) = answer(BIRTH, LINE, words=("--zone", "America/Chicago"))["lines"]

    assert line["facts"]["line"]["inserted"] == "2026-11-20T02:00:00-06:00"


def test_extra_supplies_are_named_when_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    told = {"known": []}
    rows = (BIRTH, LINE, row(6, "sensitivities", told, line=None))
    skin = row(7, "skin", {"state": "intact"})
    weight = row(8, "weight", {"g": 3200}, line=None)

    (line,) = answer(*rows, skin, weight, words=("--extra",))["lines"]

    assert line["plan"]["spares"] is not None


def test_in_words_it_is_short() -> None:
    result = run("read", "-", "--at", AT, text=text_of(BIRTH, LINE, PUS, OUT))

    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert lines[0] == f"1 line at {AT}"
    assert lines[2] == "l-1 (child c-1)"
    assert "  The line is out." in lines


@pytest.mark.parametrize(
    ("words", "text", "code"),
    [
        (("--at", AT), "", "chart-file-empty"),
        (("--at", AT), "\n\n", "chart-file-empty"),
        (("--at", AT), "[]", "chart-file-no-entry"),
        (("--at", "2026-11-24T08:00"), text_of(LINE), "argument-bad-instant"),
        (("--zone", "Nowhere/At all"), text_of(LINE), "argument-bad-zone"),
        (("--zone", "../etc"), text_of(LINE), "argument-bad-zone"),
        (("--policy", "none-such"), text_of(LINE), "policy-not-found"),
        (("--policy", "published"), text_of(LINE), "argument-set-to-build-on"),
    ],
)
def test_a_fault_prints_nothing_on_standard_output(
    words: tuple[str, ...], text: str, code: str
) -> None:
    result = run("read", "-", "--json", *words, text=text)

    assert (result.exit_code, result.stdout) == (2, "")
    assert f"[{code}]" in result.stderr


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    for path in (tmp_path / "none.jsonl", tmp_path, Path("a\0b")):
        result = run("read", str(path))

        assert result.exit_code == 2
        assert "[chart-file-not-read]" in result.stderr


def test_the_kinds_are_described_in_json_and_in_words() -> None:
    found = json.loads(run("kinds", "--json").stdout)
    words = run("kinds").stdout

    weight = next(one for one in found["kinds"] if one["id"] == "weight")
    assert weight["fields"][0]["limits"] == {"low": 150, "high": 300_000}
    assert all(f"{one['id']}: {one['label']}" in words for one in found["kinds"])


def test_reading_a_file_needs_no_database() -> None:
    code = (
        "import sys; from click.testing import CliRunner;"
        "from lumenkeep.cli.main import main;"
        "r = CliRunner().invoke(main, sys.argv[1:], input=sys.stdin.read());"
        "sys.exit(r.exit_code or ('django' in sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "chart", "read", "-", "--at", AT],
        input=text_of(BIRTH, LINE),
        text=True,
        check=False,
    )

    assert done.returncode == 0


@pytest.fixture
def handed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    words: list[str] = []
    monkeypatch.setattr(os, "execv", lambda _path, args: words.extend(args[3:]))
    return words


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("export kestrel", "chart-export --ward kestrel"),
        ("export --all --demo", "chart-export --all --of-demo"),
        ("import x.jsonl", "chart-import --file x.jsonl"),
        ("import - --dry-run --demo", "chart-import --file - --dry-run --of-demo"),
    ],
)
def test_what_touches_the_database_is_handed_over(
    handed: list[str], asked: str, told: str
) -> None:
    assert run(*asked.split()).exit_code == 0
    assert handed == told.split()


@pytest.mark.parametrize("asked", ["export", "export kestrel --all"])
def test_an_export_is_of_one_ward_or_of_all(handed: list[str], asked: str) -> None:
    result = run(*asked.split())

    assert (result.exit_code, handed) == (2, [])
    assert "[argument-ward-or-all]" in result.stderr
