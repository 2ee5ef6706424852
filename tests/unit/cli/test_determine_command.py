"""The command that determines: its answer, and a faulty timeline with all its faults."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner

from lumenkeep.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path

SOUND: dict[str, Any] = {
    "protocol": "2025",
    "child": {"born": "2019-03-01", "birthweight_g": 3300},
    "stays": [{"location": "Kestrel", "from": "2025-03-01", "to": None}],
    "lines": [
        {
            "id": "line-1",
            "kind": "picc",
            "tip": "great-vessel",
            "inserted": "2025-03-02",
            "first_access": "2025-03-02",
            "removed": None,
        }
    ],
    "specimens": [
        {
            "id": "b1",
            "at": "2025-03-06T08:30:00-06:00",
            "source": "blood",
            "draw": "a",
            "organisms": ["S. aureus"],
        }
    ],
}
KEYS = {
    "specimens", "type", "clabsi", "healthcare_associated", "date_of_event",
    "infection_window", "repeat_timeframe", "added_to", "line_day", "location",
    "exclusions", "because", "to_confirm", "organism", "birthweight_stratum",
    "verdict", "unknown", "also_unknown",
}  # fmt: skip


def run(value: Any, *more: str) -> tuple[int, str, str]:
    text = value if isinstance(value, str) else json.dumps(value)
    result = CliRunner().invoke(main, ["determine", "-", *more], input=text)
    return result.exit_code, result.stdout, result.stderr


def test_the_answer_has_exactly_the_keys_promised() -> None:
    code, said, _ = run(SOUND, "--json")
    [event] = json.loads(said)["events"]

    assert code == 0
    assert set(event) == KEYS
    assert {key for step in event["because"] for key in step} == {
        "rule",
        "text",
        "evidence",
    }
    assert (event["type"], event["clabsi"]) == ("LCBI-1", True)


def test_the_answer_in_words_begins_with_the_verdict() -> None:
    _, said, _ = run(SOUND)

    assert said.split("\n")[0] == (
        "b1: LCBI-1, CLABSI, healthcare-associated, date of event 2025-03-06, "
        "counted in Kestrel."
    )
    assert "R22: CLABSI" in said
    assert "a person with the right to it" in said


def test_all_faults_of_a_timeline_come_at_once() -> None:
    broken = {
        "protocol": "1999",
        "child": {"born": "2025-13-01", "birthwieght_g": 3},
        "stays": [
            {"location": "a", "from": "2025-03-05", "to": "2025-03-01"},
            {"from": "2025-03-20"},
        ],
        "lines": [
            {
                "id": "x",
                "kind": "picc",
                "tip": "nowhere",
                "inserted": "2025-03-05",
                "removed": "2025-03-01",
            }
        ],
        "specimens": [
            {"id": "b", "at": "2025-03-05", "source": "blood", "organisms": "E. coli"},
            {"id": "b", "at": "soon", "source": "blood"},
        ],
        "signs": [{"at": "2025-03-05", "kind": "temperature"}],
        "other_infections": [
            {
                "kind": "uti",
                "date_of_event": "2025-04-01",
                "window": ["2025-03-01", "2025-03-07"],
            }
        ],
    }
    code, said, complained = run(broken)

    assert (code, said) == (2, "")
    for word in (
        "timeline-no-such-protocol",
        "timeline-bad-day",
        "timeline-unknown-key",
        "timeline-contradiction",
        "timeline-missing",
        "timeline-unknown-word",
    ):
        assert f"[{word}]" in complained, word
    assert "'removed' (2025-03-01) lies before 'inserted' (2025-03-05)." in complained
    assert "Traceback" not in complained


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("{", "timeline-not-readable"),
        ("[]", "timeline-not-a-table"),
        ('{"protocol": "2025", "protocol": "2024"}', "timeline-not-readable"),
        ('{"protocol": NaN}', "timeline-not-readable"),
        ('{"protocol": 1e999}', "timeline-not-readable"),
        ("[" * 100_000, "timeline-not-readable"),
        ('{"protocol": "2025", "lines": 3}', "timeline-wrong-kind"),
        ("{}", "timeline-missing"),
    ],
)
def test_what_is_no_timeline_is_refused(text: str, code: str) -> None:
    exit_code, _, complained = run(text)

    assert exit_code == 2
    assert f"[{code}]" in complained


def test_the_same_id_twice_and_two_beds_at_once() -> None:
    twice = SOUND | {
        "specimens": SOUND["specimens"] * 2,
        "stays": [
            {"location": "a", "from": "2025-03-01", "to": "2025-03-09"},
            {"location": "b", "from": "2025-03-05", "to": None},
        ],
    }
    complained = run(twice)[2]

    assert "The id 'b1' stands twice.  [timeline-same-id]" in complained
    assert "'stays[1]' begins (2025-03-05) before 'stays[0]' has ended" in complained


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["determine", str(tmp_path / "none.json")])

    assert result.exit_code == 2
    assert "[timeline-not-readable]" in result.stderr


def test_no_blood_gives_no_event() -> None:
    code, said, _ = run(SOUND | {"specimens": []}, "--json")

    assert (code, json.loads(said)) == (0, {"events": []})
