"""`lumenkeep plan` and `due`: exit codes, what goes where, and their arguments."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

from lumenkeep import __version__
from lumenkeep.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path

AT = "2026-03-05T09:30:00-06:00"
CASE: dict[str, Any] = {
    "zone": "America/Chicago",
    "child": {
        "born": "2020-01-01",
        "sensitivities": [],
        "skin_at_site": "intact",
    },
    "line": {
        "kind": "picc",
        "site": "upper-arm",
        "dressing": {
            "kind": "transparent",
            "applied": "2026-03-01T08:00:00-06:00",
            "findings": [],
        },
    },
    "people": {"operator": {"glove": "7"}},
}
AT_MEND = "  mend:  write date, time and offset, as in 2026-03-05T09:30:00-06:00\n"


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(main, list(words), input=given)


def child(**facts: Any) -> str:
    return json.dumps({**CASE, "child": {**CASE["child"], **facts}})


@pytest.mark.parametrize(
    ("facts", "code", "verdict"),
    [
        ({}, 0, "plan"),
        ({"sensitivities": None}, 3, "ask"),
        ({"sensitivities": ["chlorhexidine", "iodine"]}, 4, "stop"),
    ],
)
def test_the_exit_code_tells_the_verdict(
    facts: dict[str, Any], code: int, verdict: str
) -> None:
    result = run("plan", "-", "--at", AT, "--json", given=child(**facts))

    assert (result.exit_code, result.stderr) == (code, "")
    assert json.loads(result.stdout)["verdict"] == verdict


def test_a_faulty_case_leaves_with_2_and_says_so_on_standard_error_only() -> None:
    result = run("plan", "-", "--at", AT, given='{"child": {"bron": 1}, "zone": 7}')

    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == (
        "7 is not a text.  [case-wrong-kind]\n"
        "  where: standard input: zone\n"
        "  mend:  write words between quotes\n"
        "'bron' means nothing here.  [case-unknown-key]\n"
        "  where: standard input: child.bron\n"
        "  mend:  did you mean 'born'?\n"
    )


@pytest.mark.parametrize("command", ["plan", "due"])
@pytest.mark.parametrize(
    "at", ["yesterday", "2026-03-05", "2026-03-05T09:30:00", "", "9999-01-01T00:00:00Z"]
)
def test_an_instant_must_say_its_offset(command: str, at: str) -> None:
    result = run(command, "-", "--at", at, given="{}")

    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == (
        f"'{at}' is not an instant with its offset.  [argument-bad-instant]\n"
        f"  where: --at\n{AT_MEND}"
    )


def test_an_instant_before_the_policy_has_no_rule() -> None:
    result = run("plan", "-", "--at", "2023-12-31T12:00:00Z", given='{"child": {}}')

    assert result.exit_code == 2
    assert "[policy-number-not-in-force]" in result.stderr
    assert "2023-12-31" in result.stderr


def test_a_case_file_is_named_without_its_folder(tmp_path: Path) -> None:
    path = tmp_path / "case.json"
    path.write_text('{"x": 1}')

    result = run("plan", str(path), "--at", AT)

    assert "  where: case.json: x\n" in result.stderr
    assert str(tmp_path) not in result.stderr


@pytest.mark.parametrize("kind", ["json", "toml"])
def test_a_case_may_lie_in_a_json_or_a_toml_file(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"case.{kind}"
    path.write_text(
        '{"line": {}}' if kind == "json" else "[line]\n", encoding="utf-8-sig"
    )

    assert run("due", str(path), "--at", AT).exit_code == 0


def test_a_file_that_is_not_there_is_told_plainly() -> None:
    result = run("plan", "no-such-case.json", "--at", AT)

    assert result.exit_code == 2
    assert result.stderr == (
        "The case cannot be read: No such file or directory.  [case-not-readable]\n"
        "  where: no-such-case.json\n"
        "  mend:  name a JSON or TOML file in UTF-8, or - for standard input\n"
    )


def test_a_policy_set_may_lie_in_any_folder(tmp_path: Path) -> None:
    (tmp_path / "set.toml").write_text(
        '[set]\nid = "own"\ntitle = "t"\nversion = "3"\nextends = "quillmere"\n'
        'call = "the ward"\nantiseptics = ["povidone-iodine"]\n'
    )

    result = run(
        "plan", "-", "--at", AT, "--json", "--policy", str(tmp_path), given=child()
    )

    said = json.loads(result.stdout)
    assert said["antiseptic"]["agent"] == "povidone-iodine"
    assert (said["policy"]["set"], said["policy"]["version"]) == ("own", "3")


def test_a_policy_set_that_is_not_there() -> None:
    result = run(
        "due", "-", "--policy", "no-such-set", "--at", AT, given='{"child": {}}'
    )

    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(
        "There is no policy set 'no-such-set'.  [policy-not-found]\n"
        "  where: no-such-set\n"
        "  mend:  name a folder that holds one, or a shipped set: "
    )


def test_no_message_holds_a_birth_date() -> None:
    result = run(
        "plan", "-", "--at", "2025-01-01T00:00:00Z", given=child(born="2025-06-07")
    )

    assert result.exit_code == 2
    assert "2025-06-07" not in result.stderr


def test_the_answer_holds_every_part() -> None:
    said = json.loads(run("plan", "-", "--at", AT, "--json", given=child()).stdout)

    assert set(said) >= {
        "verdict", "antiseptic", "dressing", "due", "excluded", "questions",
        "changes_later", "supplies", "staff", "masks_within_m", "cautions",
        "disagreements", "policy",
    }  # fmt: skip
    assert said["at"] == AT
    assert said["due"] == {
        "now": False,
        "at": "2026-03-08T08:00:00-05:00",
        "why": ["A clear film stays 7 days at most."],
        "state": "later",
        "overdue_since": None,
    }


def test_the_plan_in_words_begins_with_the_answer() -> None:
    text = run("plan", "-", "--at", AT, given=child()).stdout

    assert text.startswith("Two people. Chlorhexidine 2 % in alcohol.")
    assert "Policy quillmere " in text
    assert "decide" in text.rstrip().splitlines()[-1]


def test_a_stop_in_words_says_whom_to_call() -> None:
    given = child(sensitivities=["chlorhexidine", "iodine"])

    text = run("plan", "-", "--at", AT, given=given).stdout

    assert text.startswith("Stop. No antiseptic is agreed for this child. Call ")


def test_what_is_due_in_words() -> None:
    lines = run("due", "-", "--at", AT, given=child()).stdout.splitlines()

    assert (
        "later: Dressing (transparent), by Sun 08 Mar 2026 08:00. "
        "A clear film stays 7 days at most."
    ) in lines


def test_the_schema_of_a_case_describes_a_case() -> None:
    result = run("schema", "case")

    schema = json.loads(result.stdout)
    assert result.exit_code == 0
    jsonschema.Draft202012Validator(schema).validate(CASE)


def test_the_version() -> None:
    assert run("--version").stdout == f"lumenkeep, version {__version__}\n"


@pytest.mark.parametrize(
    "command", ["plan", "due", "schema", "policy", "demo", "serve"]
)
def test_every_command_has_help(command: str) -> None:
    result = run(command, "--help")

    assert result.exit_code == 0
    assert result.stdout.startswith("Usage: ")


def test_the_plan_s_list_ends_with_the_spares() -> None:
    text = run("plan", "-", "--at", AT, given=child()).stdout
    answer = json.loads(run("plan", "-", "--at", AT, "--json", given=child()).stdout)
    spare = [line for line in answer["supplies"] if line["spare"]]

    assert "Spares, to lay out as well\n" in text
    assert "gel pad, size 80 × 100 mm [SPARE] If the assistant, the child" in text
    assert "  With these, no single slip sends anyone out of the room.\n" in text
    assert "    all: 2 x Clean gloves, pairs\n" not in text
    assert text.count("[SPARE]") == len(spare) <= 5
    assert spare[-1]["item"] == "change-kit"
    assert answer["spares"]["first"][-1]["covers"] == 1.0


def test_every_spare_and_what_it_buys_is_one_option_away() -> None:
    text = run("plan", "-", "--at", AT, "--extra", given=child()).stdout
    answer = json.loads(run("plan", "-", "--at", AT, "--json", given=child()).stdout)

    assert "Every spare, were there no kit:\n" in text
    assert "    all: 2 x Clean gloves, pairs\n" in text
    assert len(answer["spares"]["all"]) > 5


def test_a_stop_has_no_spares() -> None:
    given = child(sensitivities=["chlorhexidine", "iodine"])
    answer = json.loads(run("plan", "-", "--at", AT, "--json", given=given).stdout)

    assert answer["spares"] is None


def found(*findings: str) -> str:
    case = json.loads(child())
    case["line"]["dressing"]["findings"] = list(findings)
    return json.dumps(case)


@pytest.mark.parametrize("command", ["plan", "due"])
def test_a_line_that_is_not_to_be_used_is_said_first(command: str) -> None:
    given = found("discharge", "loose")
    result = run(command, "-", "--at", AT, given=given)
    answer = json.loads(run(command, "-", "--at", AT, "--json", given=given).stdout)

    assert result.stdout.startswith(
        "Do not use the line until the prescriber has said whether it may stay and be"
        " used. Pus or other discharge at the site: "
    )
    [told] = answer["do_not_use"]
    assert told["until"] == "the prescriber has said whether it may stay and be used"


@pytest.mark.parametrize("command", ["plan", "due"])
def test_other_findings_do_not_stop_a_line(command: str) -> None:
    given = found("bleeding", "loose", "damp", "soiled", "sodden")
    result = run(command, "-", "--at", AT, given=given)
    answer = json.loads(run(command, "-", "--at", AT, "--json", given=given).stdout)

    assert "Do not use" not in result.stdout
    assert answer["do_not_use"] == []


def test_a_set_that_is_only_built_on_is_not_proved() -> None:
    told = run("prove", "published")

    assert told.exit_code == 2
    assert "only there to be built on" in told.stderr
    assert "where: SET" in told.stderr
