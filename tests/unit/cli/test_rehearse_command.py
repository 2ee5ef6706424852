"""`lumenkeep rehearse`: what it says, its exit codes, and its arguments."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner, Result

from lumenkeep.cli.main import main
from lumenkeep.core.policy.archive import set_texts

if TYPE_CHECKING:
    from pathlib import Path

AT = "2026-03-05T09:30:00-06:00"
CASE: dict[str, Any] = {
    "zone": "America/Chicago",
    "child": {"born": "2020-01-01", "sensitivities": [], "skin_at_site": "intact"},
    "line": {
        "kind": "picc",
        "site": "upper-arm",
        "dressing": {
            "kind": "transparent",
            "applied": "2026-03-01T08:00:00-06:00",
            "findings": [],
        },
    },
}
HEAD = """
[set]
id = "own"
title = "A set of the tests"
version = "7"
extends = "quillmere"
call = "whoever is on call in this example"
"""


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["rehearse", *words])


def own_set(folder: Path, changed: tuple[str, str]) -> str:
    """Return a set of one's own whose re-cover differs in one place."""
    [published] = [t for t in set_texts("quillmere") if t.name == "published"]
    text = dict(published.files)["procedures/re-cover.toml"]
    assert changed[0] in text
    (folder / "procedures").mkdir()
    (folder / "set.toml").write_text(HEAD, "utf-8")
    (folder / "procedures" / "re-cover.toml").write_text(
        text.replace(*changed, 1), "utf-8"
    )
    return str(folder)


@pytest.fixture
def unmasked(tmp_path: Path) -> str:
    """A set in which nobody puts a mask on before an open exit point is covered."""
    return own_set(tmp_path, ('verb = "mask"', 'verb = "say"'))


def test_a_sound_procedure_is_said_in_one_line() -> None:
    result = run("quillmere", "re-cover")

    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == "re-cover           sound     2 branches, up to 13 steps\n"


def test_a_broken_order_names_step_rule_state_and_mend(unmasked: str) -> None:
    result = run(unmasked, "re-cover")

    assert result.exit_code == 1
    assert "\nre-cover           BROKEN    2 branches" in result.stdout
    [said] = [p for p in result.stdout.split("\n  ") if "R-A8:" in p]
    assert said == (
        "E5 breaks R-A8: Masks are on before an open exit point is covered."
    )
    assert "    state:  operator mask off, assistant mask off, near mask off\n" in (
        result.stdout
    )
    assert "    mend:   " in result.stdout
    assert "    branch: findings " in result.stdout


def test_what_is_not_kept_of_what_is_published_comes_first(unmasked: str) -> None:
    first, own, published, mend = run(unmasked, "re-cover").stdout.splitlines()[:4]

    assert first.startswith("NOT KEPT re-cover.E")
    assert first.endswith(": was “put a mask on”, here “say it aloud”.")
    assert "/procedures/re-cover.toml: step[" in own
    assert published.startswith("    where: published/procedures/re-cover.toml: step[")
    assert mend.startswith(
        "    mend:  put it back as published; whoever means it names"
    )


def test_the_same_in_json(unmasked: str) -> None:
    result = run(unmasked, "re-cover", "--json")
    said = json.loads(result.stdout)

    assert result.exit_code == 1
    assert said["policy"] == {"set": "own", "version": "7"}
    assert not said["sound"]
    assert {"id", "says", "where", "mend"} == set(said["not_kept"][0])
    [procedure] = said["procedures"]
    assert not procedure["sound"]
    breaks = [b for one in procedure["branches"] for b in one["breaks"]]
    assert {"step", "rule", "table", "says", "state", "mend"} == set(breaks[0])
    assert "re-cover-masked" in {b["table"] for b in breaks}


def test_a_case_leaves_only_its_own_branches(tmp_path: Path) -> None:
    case = tmp_path / "case.json"
    case.write_text(json.dumps(CASE), "utf-8")
    words = ["quillmere", "dressing-change", "--case", str(case), "--at", AT, "--json"]
    [procedure] = json.loads(run(*words).stdout)["procedures"]

    assert procedure["sound"]
    for branch in procedure["branches"]:
        assert "agent chlorhexidine-alcohol" in branch["name"]
        assert "site upper-arm" in branch["name"]


def test_every_slip_is_looked_at_where_it_is_asked_for() -> None:
    result = run("quillmere", "re-cover", "--ways-back")

    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.split("\n")[1] == (
        "  10 slips at steps: 1 ways back that keep every rule, 0 stops, 9 times leave"
    )


def test_slips_in_json_are_counted_by_how_they_end() -> None:
    said = json.loads(run("quillmere", "re-cover", "--ways-back", "--json").stdout)

    assert said["sound"]
    assert said["procedures"][0]["slips"] == {
        "way-back": 1,
        "stop": 0,
        "leave": 9,
        "faults": [],
    }


def test_only_what_is_sound_is_asked_for_ways_back(unmasked: str) -> None:
    result = run(unmasked, "re-cover", "--ways-back", "--json")
    [procedure] = json.loads(result.stdout)["procedures"]
    sound = [one for one in procedure["branches"] if not one["breaks"]]

    assert result.exit_code == 1
    assert len(sound) < len(procedure["branches"])


def test_a_procedure_that_is_not_there_is_named_with_those_that_are() -> None:
    result = run("quillmere", "re-covr")

    assert (result.exit_code, result.stdout) == (2, "")
    assert "There is no procedure 're-covr' in this set." in result.stderr
    assert "dressing-change" in result.stderr


def test_a_faulty_file_leaves_with_2_and_says_where(tmp_path: Path) -> None:
    result = run(own_set(tmp_path, ('verb = "mask"', 'verb = "masc"')))

    assert (result.exit_code, result.stdout) == (2, "")
    assert "'masc' is not a word known here." in result.stderr
    assert f"{tmp_path.name}/procedures/re-cover.toml: step[" in result.stderr


def test_one_slip_at_one_step_is_told_with_what_it_takes() -> None:
    result = run("quillmere", "--slip", "glove-touches-unsterile", "--at", "D14")

    assert (result.exit_code, result.stderr) == (0, "")
    for said in (
        "A sterile glove touches bed, own mask, unprepared skin or a tail.",
        "dressing-change, D14: ",
        "sterile gloves on, own size, by the cuff.",
        "from the extra supplies: 1 × Sterile gloves in the operator's size, pairs",
        "Not to be left out: Hand hygiene between the gloves.",
    ):
        assert said in result.stdout


def test_a_step_that_is_done_for_each_lumen_is_found_by_its_count() -> None:
    asked = ("connector-change", "--slip", "tip-touched", "--at", "N9-5")
    result = run("quillmere", *asked)

    assert result.exit_code == 0
    assert "lumens 5" in result.stdout
    assert "then go on with N9-5" in result.stdout


def test_one_slip_in_json_names_every_branch_it_can_happen_in() -> None:
    asked = ("--slip", "tip-touched", "--at", "N9", "--json", "--at", AT)
    told = json.loads(run("quillmere", "connector-change", *asked).stdout)
    sound = json.loads(run("quillmere", "connector-change", "--json").stdout)

    names = [
        b["name"] for b in sound["procedures"][0]["branches"] if "N9" in b["steps"]
    ]
    found = [name for one in told["answers"] for name in one["branches"]]
    assert sorted(found) == sorted(names)
    assert {act["step"] for one in told["answers"] for act in one["told"]["acts"]} >= {
        "say"
    }


def test_a_slip_that_cannot_happen_there_is_said_so() -> None:
    result = run("quillmere", "dressing-change", "--slip", "bleeding", "--at", "D1")

    assert result.exit_code == 0
    assert "At D1 it cannot happen, or spoils nothing" in result.stdout


def test_no_such_slip_and_no_such_step_are_both_named() -> None:
    result = run("quillmere", "--slip", "tea", "--at", "D99")

    assert result.exit_code == 2
    assert "[policy-no-such-slip]" in result.stderr
    assert "[policy-no-such-step]" in result.stderr


@pytest.mark.parametrize(
    "asked",
    [
        ("--slip", "bleeding"),
        ("--slip", "bleeding", "--at", "D1", "--at", "D2"),
        ("--at", AT, "--at", AT),
    ],
)
def test_a_step_too_few_or_too_many_is_refused(asked: tuple[str, ...]) -> None:
    assert run("quillmere", "re-cover", *asked).exit_code == 2


def test_a_slip_in_a_broken_branch_gets_no_way_back(unmasked: str) -> None:
    asked = ("re-cover", "--slip", "glove-touches-unsterile", "--at", "E5")
    result = run(unmasked, *asked)

    assert result.exit_code == 1
    assert "break a rule by themselves" in result.stdout
