"""Check values K28 to K41: when things fall due, start 1 March 2025 at 10:00."""

from __future__ import annotations

from typing import Any

import pytest
from tests.external.command import due, plan, set_folder

pytestmark = pytest.mark.external

START = "2025-03-01T10:00:00+00:00"
EVENING = "2025-03-01T22:15:00+00:00"


def line(**more: Any) -> dict[str, Any]:
    return {"line": {"kind": "picc", "site": "upper-arm", **more}}


def dressing(kind: str, applied: str = START, **more: Any) -> dict[str, Any]:
    return line(dressing={"kind": kind, "applied": applied, "findings": [], **more})


def hung(kind: str, changed: str = START) -> dict[str, Any]:
    return line(sets=[{"kind": kind, "changed": changed}])


@pytest.mark.parametrize(
    "kind", ["transparent", "transparent-chg-gel", "transparent-chg-disc"]
)
def test_k28_a_clear_film_is_due_after_seven_days(kind: str) -> None:
    """CDC 2011, from memory."""
    task = due(dressing(kind), "2025-03-02T10:00:00+00:00").task("dressing")

    assert (task["state"], task["due_at"]) == ("later", "2025-03-08T10:00:00+00:00")


@pytest.mark.parametrize("kind", ["gauze", "gauze-under-transparent"])
def test_k29_gauze_is_due_after_two_days_under_a_film_too(kind: str) -> None:
    """CDC 2011 and INS 2021, both from memory."""
    task = due(dressing(kind), "2025-03-02T10:00:00+00:00").task("dressing")

    assert task["due_at"] == "2025-03-03T10:00:00+00:00"


@pytest.mark.parametrize(
    ("asked", "state"),
    [
        ("2025-03-08T09:59:00+00:00", "later"),
        ("2025-03-08T10:00:00+00:00", "due"),
        ("2025-03-08T10:01:00+00:00", "overdue"),
    ],
)
def test_k28_the_minute_of_the_limit_is_due_and_the_next_is_overdue(
    asked: str, state: str
) -> None:
    """CDC 2011, from memory; at least every 7 days."""
    task = due(dressing("transparent"), asked).task("dressing")

    assert task["state"] == state
    late = "2025-03-08T10:00:00+00:00" if state == "overdue" else None
    assert task["overdue_since"] == late


def test_k30_a_damp_film_is_due_since_it_was_seen() -> None:
    """CDC 2011, from memory."""
    seen = "2025-03-02T14:00:00+00:00"
    case = dressing("transparent", findings=[{"kind": "damp", "at": seen}])

    before = due(case, "2025-03-02T13:59:00+00:00").task("dressing")
    now = due(case, seen).task("dressing")
    later = due(case, "2025-03-03T08:00:00+00:00").task("dressing")

    assert before["state"] == "later"
    for task in (now, later):
        assert (task["now"], task["due_at"]) == (True, seen)
        assert task["why"][0] == "Found damp."


def test_k30_the_plan_says_the_same() -> None:
    """CDC 2011, from memory."""
    seen = "2025-03-02T14:00:00+00:00"
    case = dressing("transparent", findings=[{"kind": "damp", "at": seen}])

    said = plan(case, seen).said["due"]

    assert (said["now"], said["at"]) == (True, seen)


def test_k31_a_week_over_leap_day_ends_on_4_march() -> None:
    """CDC 2011, from memory; arithmetic."""
    case = dressing("transparent", "2024-02-26T08:00:00+00:00")

    task = due(case, "2024-02-27T08:00:00+00:00").task("dressing")

    assert task["due_at"] == "2024-03-04T08:00:00+00:00"


@pytest.mark.parametrize(
    ("applied", "by_the_wall", "by_hours"),
    [
        pytest.param(
            "2025-03-05T09:00:00-05:00",
            "2025-03-12T09:00:00-04:00",
            "2025-03-12T10:00:00-04:00",
            id="clocks go forward",
        ),
        pytest.param(
            "2025-10-29T09:00:00-04:00",
            "2025-11-05T09:00:00-05:00",
            "2025-11-05T08:00:00-05:00",
            id="clocks go back",
        ),
    ],
)
def test_k32_a_week_is_seven_days_on_the_wall_unless_the_policy_counts_hours(
    applied: str, by_the_wall: str, by_hours: str
) -> None:
    """Arithmetic; the shipped sets count calendar days."""
    case = dressing("transparent", applied) | {"zone": "America/New_York"}

    wall = due(case, applied).task("dressing")
    hours = due(case, applied, set_folder("elapsed-week")).task("dressing")

    assert wall["due_at"] == by_the_wall
    assert hours["due_at"] == by_hours


@pytest.mark.parametrize(
    ("changed", "from_", "until"),
    [
        pytest.param(
            "2025-03-08T09:00:00-05:00",
            "2025-03-12T10:00:00-04:00",
            "2025-03-15T09:00:00-04:00",
            id="clocks go forward",
        ),
        pytest.param(
            "2025-11-01T09:00:00-04:00",
            "2025-11-05T08:00:00-05:00",
            "2025-11-08T09:00:00-05:00",
            id="clocks go back",
        ),
    ],
)
def test_k32_a_window_from_96_hours_to_7_days_across_a_clock_change(
    changed: str, from_: str, until: str
) -> None:
    """CDC 2011 for the window; arithmetic for the clock change."""
    case = hung("plain", changed) | {"zone": "America/New_York"}

    task = due(case, changed, set_folder("cdc11")).task("set")

    assert (task["not_before"], task["due_at"]) == (from_, until)


def test_k33_in_newborn_intensive_care_no_clock_runs_but_the_daily_look() -> None:
    """SHEA newborn intensive care white paper, 2022."""
    case = dressing("transparent") | {"child": {"unit": "newborn-intensive-care"}}
    case["line"]["inspected"] = START

    answer = due(case, "2025-03-20T10:00:00+00:00", set_folder("shean22"))

    task = answer.task("dressing")
    assert (task["state"], task["due_at"]) == ("on-finding", None)
    assert answer.task("site-check")["due_at"] == "2025-03-02T10:00:00+00:00"


@pytest.mark.parametrize("found", ["soiled", "damp", "loose"])
def test_k33_there_a_failed_dressing_is_due_now(found: str) -> None:
    """SHEA newborn intensive care white paper, 2022."""
    case = dressing("transparent", findings=[found])
    case |= {"child": {"unit": "newborn-intensive-care"}}

    task = due(case, "2025-03-02T10:00:00+00:00", set_folder("shean22")).task(
        "dressing"
    )

    assert (task["now"], task["due_at"]) == (True, "2025-03-02T10:00:00+00:00")


@pytest.mark.parametrize(
    "policy", ["quillmere", set_folder("cdc11")], ids=["P", "CDC11"]
)
def test_k34_a_plain_set_has_a_window(policy: str) -> None:
    """CDC 2011, Guidelines for the Prevention of Intravascular Catheter-Related
    Infections."""
    task = due(hung("plain"), START, policy).task("set")

    assert task["not_before"] == "2025-03-05T10:00:00+00:00"
    assert task["due_at"] == "2025-03-08T10:00:00+00:00"


@pytest.mark.parametrize(
    ("asked", "state"),
    [
        ("2025-03-04T10:00:00+00:00", "too-early"),
        ("2025-03-05T09:59:00+00:00", "too-early"),
        ("2025-03-05T10:00:00+00:00", "may-now"),
        ("2025-03-08T09:59:00+00:00", "may-now"),
        ("2025-03-08T10:00:00+00:00", "due"),
        ("2025-03-08T10:01:00+00:00", "overdue"),
    ],
)
def test_k35_changing_a_set_at_72_hours_is_early_and_not_late(
    asked: str, state: str
) -> None:
    """CDC 2011, Guidelines for the Prevention of Intravascular Catheter-Related
    Infections."""
    task = due(hung("plain"), asked).task("set")

    assert task["state"] == state
    assert ("Changing it now would be too early." in task["why"]) is (
        state == "too-early"
    )


@pytest.mark.parametrize(
    ("kind", "policy", "by"),
    [
        pytest.param("lipid", "ins21", "2025-03-02T10:15", id="K36 lipid, INS 2021"),
        pytest.param("lipid", "cdc11", "2025-03-02T22:15", id="K36 lipid, CDC 2011"),
        pytest.param("blood", "ins21", "2025-03-02T02:15", id="K37 blood, INS 2021"),
        pytest.param(
            "blood", "epic3", "2025-03-02T10:15", id="K37 blood, epic3, from memory"
        ),
        pytest.param("blood", "cdc11", "2025-03-02T22:15", id="K37 blood, CDC 2011"),
    ],
)
def test_k36_and_k37_lipid_and_blood_sets_by_document(
    kind: str, policy: str, by: str
) -> None:
    """The document of each row: INS 2021, CDC 2011, epic3 2014."""
    task = due(hung(kind, EVENING), EVENING, set_folder(policy)).task("set")

    assert task["due_at"] == f"{by}:00+00:00"


@pytest.mark.parametrize(
    ("policy", "state"),
    [
        pytest.param("cdc11", "may-now", id="CDC 2011, 72 hours, from memory"),
        pytest.param("ins21", "too-early", id="INS 2021, 96 hours"),
    ],
)
def test_k38_a_connector_at_80_hours(policy: str, state: str) -> None:
    """The document of each row: CDC 2011 from memory, INS 2021."""
    case = line(connectors_changed=START)

    task = due(case, "2025-03-04T18:00:00+00:00", set_folder(policy)).task("connector")

    assert task["state"] == state


@pytest.mark.parametrize(
    ("kind", "last"),
    [
        ("umbilical-venous", "2025-03-15T10:00:00+00:00"),
        ("umbilical-arterial", "2025-03-06T10:00:00+00:00"),
    ],
)
def test_k39_the_last_day_of_an_umbilical_line(kind: str, last: str) -> None:
    """CDC 2011, Guidelines for the Prevention of Intravascular Catheter-Related
    Infections."""
    case = line(kind=kind, inserted=START)

    assert due(case, START).task("line-stay")["due_at"] == last


def test_k39_no_other_line_has_a_last_day() -> None:
    """CDC 2011: only umbilical lines."""
    assert "line-stay" not in due(line(inserted=START), START).tasks()


def test_k40_a_port_needle_stays_seven_days() -> None:
    """INS 2021, from memory."""
    case = line(kind="port", needle_changed=START)

    task = due(case, START, set_folder("ins21")).task("port-needle")

    assert task["due_at"] == "2025-03-08T10:00:00+00:00"


def test_k40_the_guideline_of_2011_has_no_rule_for_a_port_needle() -> None:
    """CDC 2011: unresolved, from memory."""
    case = line(kind="port", needle_changed=START)

    assert "port-needle" not in due(case, START, set_folder("cdc11")).tasks()


def test_k41_the_next_change_counts_from_the_actual_one() -> None:
    """CDC 2011, from memory."""
    changed = "2025-03-04T11:00:00+00:00"

    task = due(dressing("transparent", changed), changed).task("dressing")

    assert task["since"] == changed
    assert task["due_at"] == "2025-03-11T11:00:00+00:00"


def test_k41_the_plan_counts_the_new_dressing_from_the_plan() -> None:
    """CDC 2011, from memory."""
    case = dressing("transparent")
    case["child"] = {
        "born": "2020-01-01",
        "sensitivities": [],
        "skin_at_site": "intact",
    }

    cover = plan(case, "2025-03-04T11:00:00+00:00").said["dressing"]

    assert cover["kind"] == "transparent-chg-gel"
    assert (cover["stays_h"], cover["next_due"]) == (168, "2025-03-11T11:00:00+00:00")
