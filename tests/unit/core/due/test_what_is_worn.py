"""What a child has on, and what has begun or ended on its line."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.due import due_tasks
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.files.answer import plan_as_json, tasks_as_json
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.due import DueTask

AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)
GEL, DISC, FILM = "transparent-chg-gel", "transparent-chg-disc", "transparent"
SETS = shipped_sets()
CHILD: dict[str, Any] = {
    "born": "2019-06-01T08:00:00+00:00",
    "gestation_at_birth": "39w0d",
    "weights": [{"at": "2026-03-01T08:00:00+00:00", "g": 21_000}],
    "sensitivities": [],
    "skin_at_site": "intact",
    "unit": "ward",
}


def ago(**span: float) -> str:
    return (AT - timedelta(**span)).isoformat()


def tasks(
    name: str, child: dict[str, Any], at: datetime = AT, **line: Any
) -> dict[str, DueTask]:
    known = {
        "kind": "picc", "connectors_changed": ago(days=1), "sets": [],
        "reviewed": ago(hours=1), "inspected": ago(hours=1), **line,
    }  # fmt: skip
    case = case_from_mapping({"child": {**CHILD, **child}, "line": known}, "case")
    return {t.task: t for t in due_tasks(case, at, load_policy(name))}


def worn(name: str, kind: str | None, at: datetime = AT, **child: Any) -> DueTask:
    on = {"kind": kind, "applied": ago(days=1), "findings": []}
    return tasks(name, child, at, dressing=on)["dressing"]


# ---------------------------------------------------------------- bars


@pytest.mark.parametrize("kind", [GEL, DISC])
@pytest.mark.parametrize("name", SETS)
def test_an_allergic_child_s_dressing_comes_off_now(name: str, kind: str) -> None:
    task = worn(name, kind, sensitivities=["chlorhexidine"])

    assert (task.state, task.is_now) == ("due", True)
    assert task.due_at == AT - timedelta(days=1)
    assert task.why[0].startswith("May not stay on: ")
    assert "chlorhexidine" in task.why[0]
    assert worn(name, kind).state == "later"
    assert worn(name, FILM, sensitivities=["chlorhexidine"]).state == "later"


@pytest.mark.parametrize("name", SETS)
def test_film_on_broken_skin_comes_off_now_and_gauze_stays(name: str) -> None:
    for kind in (FILM, GEL, DISC):
        assert worn(name, kind, skin_at_site="broken").is_now, kind
    assert not worn(name, "gauze", skin_at_site="broken").is_now


@pytest.mark.parametrize("kind", [GEL, DISC])
@pytest.mark.parametrize("name", SETS)
def test_a_baby_s_chlorhexidine_comes_off_until_the_day_it_may_stay(
    name: str, kind: str
) -> None:
    """Two calendar months: SHEA 2022, from memory."""
    birth = datetime(2026, 1, 5, 9, 30, tzinfo=UTC)
    baby = {
        "born": birth.isoformat(),
        "weights": [{"at": ago(days=2), "g": 4800}],
    }

    before = worn(name, kind, AT - timedelta(minutes=1), **baby)
    after = worn(name, kind, AT, **baby)

    assert before.is_now
    assert not after.is_now


def test_a_bar_that_comes_with_a_weighing_counts_from_then() -> None:
    """Lighter than 1500 g, as the demo hospital has it (Garland 2009)."""
    born = datetime(2025, 12, 20, 8, 0, tzinfo=UTC)
    lighter = AT - timedelta(hours=5)
    baby = {
        "born": born.isoformat(),
        "gestation_at_birth": "37w0d",
        "weights": [
            {"at": ago(days=2), "g": 1510},
            {"at": lighter.isoformat(), "g": 1490},
        ],
    }

    task = worn("quillmere", GEL, **baby)
    earlier = worn("quillmere", GEL, lighter - timedelta(minutes=1), **baby)

    assert (task.is_now, task.due_at) == (True, lighter)
    assert "Lighter than" in task.why[0]
    assert not earlier.is_now


def test_what_was_allowed_and_is_barred_as_the_child_grows_counts_from_the_birthday(
    tmp_path: Path,
) -> None:
    (tmp_path / "set.toml").write_text(
        '[set]\nid = "own"\ntitle = "t"\nversion = "1"\nextends = "quillmere"\n'
        'call = "the ward"\n'
        '[[exclude]]\nid = "no-pad-when-older"\nbecause = "No pad on an older child."\n'
        'source = "common-practice"\ntakes_away = true\n'
        f'bars = ["{GEL}", "{DISC}"]\n'
        "when = [{ age = { at_least = { value = 6, unit = "
        '"calendar-years", from = 2024-01-01, source = "common-practice" } } }]\n'
    )
    turns = AT - timedelta(hours=3)
    child = {"born": turns.replace(year=2020).isoformat()}

    assert not worn(str(tmp_path), GEL, turns - timedelta(minutes=1), **child).is_now
    task = worn(str(tmp_path), GEL, AT, **child)
    assert (task.is_now, task.due_at) == (True, turns)
    assert task.why[0] == "May not stay on: No pad on an older child."


@pytest.mark.parametrize("name", SETS)
def test_a_bar_that_may_hold_is_asked_about_and_does_not_ring(name: str) -> None:
    task = worn(name, GEL, sensitivities=None)

    assert not task.is_now
    assert "What does the child not tolerate? Ask the family too." in task.asks


@pytest.mark.parametrize("name", SETS)
def test_nothing_is_asked_of_a_plain_film_on_a_child_well_known(name: str) -> None:
    assert worn(name, FILM).asks == ()


@pytest.mark.parametrize("name", SETS)
def test_not_knowing_what_is_on_an_allergic_child_is_a_reason_to_look(
    name: str,
) -> None:
    task = worn(name, None, sensitivities=["chlorhexidine"])

    assert task.is_now
    assert task.why[0].startswith("Nobody charted which dressing is on")
    assert task.asks[0] == "Which dressing is on the line?"


def test_a_finding_is_told_first_and_the_bar_with_it() -> None:
    on = {"kind": GEL, "applied": ago(days=1), "findings": ["damp"]}
    task = tasks("quillmere", {"sensitivities": ["chlorhexidine"]}, dressing=on)[
        "dressing"
    ]

    assert task.why[0] == "Found damp."
    assert task.why[1].startswith("May not stay on: ")


def test_the_plan_and_the_due_list_say_the_same() -> None:
    child = {**CHILD, "sensitivities": ["chlorhexidine"]}
    line = {"dressing": {"kind": GEL, "applied": ago(days=1), "findings": []}}
    case = case_from_mapping({"child": child, "line": line}, "case")
    policy = load_policy("quillmere")

    found = due_tasks(case, AT, policy)
    plan = plan_as_json(plan_change(case, AT, policy), found, case.zone, None)
    listed = tasks_as_json(found, AT, case.zone, (policy.id, policy.version))

    [told] = [t for t in listed["tasks"] if t["task"] == "dressing"]
    assert plan["due"]["now"] is told["now"] is True
    assert plan["due"]["why"] == told["why"]


# ---------------------------------------------------------------- findings


@pytest.mark.parametrize(
    "found", ["damp", "loose", "soiled", "bleeding", "discharge", "sodden"]
)
@pytest.mark.parametrize("kind", [FILM, GEL, "gauze", "bridge"])
@pytest.mark.parametrize("name", SETS)
def test_each_finding_makes_each_dressing_due_at_once(
    name: str, kind: str, found: str
) -> None:
    on = {"kind": kind, "applied": ago(hours=2), "findings": [found]}

    task = tasks(name, {}, dressing=on)["dressing"]

    assert (task.is_now, task.due_at) == (True, AT)
    assert task.why[0] == f"Found {found}."


# ---------------------------------------------------------------- begun and ended


@pytest.mark.parametrize("name", SETS)
def test_a_port_without_needle_has_no_needle_dressing_connector_or_set(
    name: str,
) -> None:
    found = tasks(name, {}, kind="port", needle_in=False, sets=None)

    assert set(found) == {"line-review", "site-check"}


@pytest.mark.parametrize("name", SETS)
def test_a_port_with_its_needle_has_all_of_them_and_asks_nothing(name: str) -> None:
    found = tasks(
        name, {}, kind="port", needle_in=True, needle_changed=ago(days=8),
        dressing={"kind": FILM, "applied": ago(days=1), "findings": []},
        sets=[{"kind": "plain", "changed": ago(days=5)}],
    )  # fmt: skip

    assert found["port-needle"].state == "overdue"
    assert {"dressing", "connector", "set"} <= set(found)
    assert [ask for task in found.values() for ask in task.asks] == []


@pytest.mark.parametrize("name", SETS)
def test_where_nobody_knows_of_the_needle_it_is_asked_and_the_clock_runs(
    name: str,
) -> None:
    task = tasks(name, {}, kind="port", needle_changed=ago(days=6))["port-needle"]

    assert task.due_at == AT + timedelta(days=1)
    assert task.asks == ("Is a needle in the port?",)


@pytest.mark.parametrize("name", SETS)
def test_on_a_line_not_in_use_no_set_is_due(name: str) -> None:
    assert "set" not in tasks(name, {}, in_use=False, sets=None)
    assert tasks(name, {}, in_use=True, sets=None)["set"].is_now


@pytest.mark.parametrize("name", SETS)
def test_a_medicine_set_goes_after_a_day(name: str) -> None:
    """INS 2021, from memory; CDC 2011 leaves it open."""
    hung = [{"kind": "medicine", "changed": ago(hours=23)}]

    task = tasks(name, {}, sets=hung)["set"]

    assert task.due_at == AT + timedelta(hours=1)
    assert task.asks == ()


@pytest.mark.parametrize("kind", ["umbilical-venous", "umbilical-arterial"])
@pytest.mark.parametrize("on", ["bridge", FILM])
@pytest.mark.parametrize("name", SETS)
def test_an_umbilical_line_waits_for_a_finding_and_is_looked_at(
    name: str, on: str, kind: str
) -> None:
    found = tasks(
        name, {}, kind=kind, site="umbilical", inspected=ago(hours=25),
        dressing={"kind": on, "applied": None, "findings": []},
    )  # fmt: skip

    assert found["dressing"].state == "on-finding"
    assert found["site-check"].state == "overdue"


@pytest.mark.parametrize("name", SETS)
def test_a_bridge_on_another_line_has_a_clock(name: str) -> None:
    task = worn(name, "bridge")

    assert task.due_at == AT + timedelta(days=1)
