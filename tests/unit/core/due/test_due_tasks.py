"""What is due on a line: every state, findings, and what nobody knows."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.due import dressing_task, due_tasks
from lumenkeep.core.policy import load_policy
from lumenkeep.errors import RuleConflictError
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.due import DueTask

AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)


def ago(**span: float) -> str:
    return (AT - timedelta(**span)).isoformat()


def tasks(policy: str = "quillmere", **line: Any) -> dict[str, DueTask]:
    """Return the tasks of a line by name (one set at most)."""
    case = case_from_mapping({"line": {"kind": "picc", **line}}, "case")
    return {t.task: t for t in due_tasks(case, AT, load_policy(policy))}


def dressing(**facts: Any) -> DueTask:
    known = {"kind": "transparent", "applied": ago(days=2), "findings": [], **facts}
    return tasks(dressing=known)["dressing"]


@pytest.mark.parametrize(
    ("applied", "state"),
    [
        (ago(days=6, hours=23, minutes=59), "later"),
        (ago(days=7), "due"),
        (ago(days=7, minutes=1), "overdue"),
    ],
)
def test_a_film_is_later_due_and_overdue(applied: str, state: str) -> None:
    task = dressing(applied=applied)

    assert (task.state, task.is_now) == (state, state != "later")
    assert task.overdue_since == (task.due_at if state == "overdue" else None)
    assert task.not_before is None
    assert task.why == ("A clear film stays 7 days at most.",)
    assert task.rules == ("dressing-film-stays",)
    assert task.sources == ("common-practice",)


@pytest.mark.parametrize("kind", ["gauze", "gauze-under-transparent"])
def test_gauze_under_a_film_counts_as_gauze(kind: str) -> None:
    task = dressing(kind=kind, applied=ago(days=1))

    assert task.due_at == AT + timedelta(days=1)
    assert task.kind == kind


@pytest.mark.parametrize("found", ["damp", "loose", "soiled", "bleeding"])
def test_each_finding_makes_it_due_at_once(found: str) -> None:
    task = dressing(findings=[found])

    assert (task.state, task.due_at, task.overdue_since) == ("due", AT, AT)
    assert task.why[0] == f"Found {found}."


def test_the_first_of_several_findings_counts() -> None:
    task = dressing(
        findings=[
            {"kind": "loose", "at": ago(hours=1)},
            {"kind": "damp", "at": ago(hours=3)},
        ]
    )

    assert task.due_at == AT - timedelta(hours=3)
    assert task.why[0] == "Found damp, loose."


def test_a_finding_to_come_is_not_one_yet() -> None:
    later = (AT + timedelta(minutes=1)).isoformat()

    assert dressing(findings=[{"kind": "damp", "at": later}]).state == "later"


def test_a_finding_voids_the_old_clock() -> None:
    task = dressing(
        applied=ago(days=9), findings=[{"kind": "damp", "at": ago(hours=1)}]
    )

    assert (task.state, task.due_at) == ("due", AT - timedelta(hours=1))


def test_a_last_change_nobody_knows_is_due_now() -> None:
    task = dressing(applied=None)

    assert (task.state, task.since, task.due_at) == ("due", None, AT)
    assert task.why[0] == "Nobody knows when this was last done (given as unknown)."


def test_a_dressing_nobody_knows_has_the_shortest_time() -> None:
    task = dressing(kind=None)

    assert task.due_at == AT
    assert task.why[0] == "Which limit applies is not known, so the shortest counts."
    assert set(task.rules) == {"dressing-film-stays", "dressing-gauze-stays"}


@pytest.mark.parametrize(
    ("changed", "state"),
    [
        (ago(hours=95, minutes=59), "too-early"),
        (ago(hours=96), "may-now"),
        (ago(days=7), "due"),
        (ago(days=7, minutes=1), "overdue"),
    ],
)
@pytest.mark.parametrize("what", ["set", "connector"])
def test_a_window_has_two_ends(what: str, changed: str, state: str) -> None:
    if what == "set":
        task = tasks(sets=[{"kind": "plain", "changed": changed}])["set"]
    else:
        task = tasks(connectors_changed=changed)["connector"]

    assert task.state == state
    assert task.since is not None
    assert task.not_before == task.since + timedelta(hours=96)
    assert ("Changing it now would be too early." in task.why) is (state == "too-early")


@pytest.mark.parametrize("kind", ["lipid", "blood"])
def test_a_lipid_or_blood_set_has_a_day(kind: str) -> None:
    task = tasks(sets=[{"kind": kind, "changed": ago(hours=23)}])["set"]

    assert (task.kind, task.due_at) == (kind, AT + timedelta(hours=1))


def test_a_set_of_unknown_kind_is_taken_for_the_shortest_and_never_too_early() -> None:
    task = tasks(sets=[{"changed": ago(hours=30)}])["set"]

    assert task.state == "overdue"
    assert task.not_before is None
    assert "Which limit applies is not known, so the shortest counts." in task.why


def test_each_set_has_its_own_line() -> None:
    case = case_from_mapping(
        {
            "line": {
                "sets": [
                    {"kind": "lipid", "changed": ago(hours=1)},
                    {"kind": "plain", "changed": ago(hours=1)},
                ]
            }
        },
        "case",
    )

    kinds = [
        t.kind for t in due_tasks(case, AT, load_policy("quillmere")) if t.task == "set"
    ]

    assert kinds == ["lipid", "plain"]


def test_sets_that_nobody_told_of_are_due_and_none_hung_are_not() -> None:
    assert tasks()["set"].state == "due"
    assert "set" not in tasks(sets=[])


def test_only_a_port_has_a_needle() -> None:
    assert (
        tasks(kind="port", needle_changed=ago(days=6))["port-needle"].state == "later"
    )
    assert "port-needle" not in tasks(needle_changed=ago(days=6))


def test_a_line_of_unknown_kind_may_be_a_port() -> None:
    task = tasks(kind=None, needle_changed=ago(days=6))["port-needle"]

    assert task.due_at == AT + timedelta(days=1)


@pytest.mark.parametrize(
    ("kind", "days"), [("umbilical-venous", 14), ("umbilical-arterial", 5)]
)
def test_an_umbilical_line_has_a_longest_stay(kind: str, days: int) -> None:
    task = tasks(kind=kind, inserted=ago(days=1))["line-stay"]

    assert task.due_at == AT + timedelta(days=days - 1)


def test_review_and_look_come_every_day() -> None:
    found = tasks(reviewed=ago(hours=25), inspected=ago(hours=23))

    assert found["line-review"].state == "overdue"
    assert found["line-review"].overdue_since == AT - timedelta(hours=1)
    assert found["site-check"].due_at == AT + timedelta(hours=1)


def test_where_no_clock_runs_a_dressing_waits_for_a_finding(tmp_path: Path) -> None:
    (tmp_path / "set.toml").write_text(
        '[set]\nid = "own"\ntitle = "t"\nversion = "1"\nextends = "quillmere"\n'
        'call = "the ward"\n'
        '[[interval]]\nid = "no-clock"\nbecause = "When it fails."\n'
        'source = "common-practice"\ntask = "dressing"\npriority = 1\n'
    )

    worn = {"kind": "transparent", "applied": ago(days=30), "findings": []}
    waiting = tasks(str(tmp_path), dressing=worn)["dressing"]
    failed = tasks(str(tmp_path), dressing=worn | {"findings": ["loose"]})["dressing"]

    assert (waiting.state, waiting.due_at, waiting.is_now) == (
        "on-finding",
        None,
        False,
    )
    assert waiting.why[0] == "No clock runs: look, and change it when it fails."
    assert failed.state == "due"


def test_two_intervals_of_one_priority_are_an_error_naming_both(tmp_path: Path) -> None:
    (tmp_path / "set.toml").write_text(
        '[set]\nid = "own"\ntitle = "t"\nversion = "1"\nextends = "quillmere"\n'
        'call = "the ward"\n'
        '[[interval]]\nid = "other"\nbecause = "Otherwise."\n'
        'source = "common-practice"\ntask = "dressing"\nnot_after = "site-check"\n'
    )

    with pytest.raises(RuleConflictError) as caught:
        tasks(str(tmp_path), dressing={"kind": "gauze", "applied": ago(days=1)})

    fault = caught.value.fault
    assert fault.code == "rules-conflict"
    assert fault.what == (
        "The intervals 'dressing-gauze-stays' and 'other' both apply, "
        "and neither has priority."
    )
    assert "quillmere/dressing.toml: interval[1]; " in fault.where


def test_the_most_urgent_comes_first_and_the_dressing_is_found() -> None:
    case = case_from_mapping(
        {
            "line": {
                "kind": "picc",
                "dressing": {
                    "kind": "transparent",
                    "applied": ago(days=8),
                    "findings": [],
                },
                "connectors_changed": ago(hours=1),
                "sets": [],
                "reviewed": ago(hours=30),
                "inspected": ago(hours=2),
            }
        },
        "case",
    )

    found = due_tasks(case, AT, load_policy("quillmere"))

    assert [t.task for t in found] == [
        "dressing",
        "line-review",
        "site-check",
        "connector",
    ]
    assert dressing_task(found) is found[0]
    assert dressing_task(()) is None
