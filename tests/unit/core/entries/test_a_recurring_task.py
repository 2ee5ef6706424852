"""A recurring task, walked through: a kind, a number and an interval, and it falls due."""

from __future__ import annotations

import json
from datetime import timedelta
from shutil import copytree
from typing import TYPE_CHECKING

import pytest
from tests.fakes.chart import chart_with_a_line
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.core.due import due_tasks
from lumenkeep.core.entries import Form, Kind, Task, line_state
from lumenkeep.core.entries.kind import LINE, NOTE
from lumenkeep.core.entries.registry import with_kinds
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.case.mapping import case_as_mapping
from lumenkeep.ward.chart.records import Draft

if TYPE_CHECKING:
    from pathlib import Path

# 1. What can be charted, and which task that does.
TRIED = Kind(
    "line-tried",
    "Line tried",
    LINE,
    (NOTE,),
    Form("Try the line", "Chart it", happened="Tried at"),
    task=Task("tried", "Tried", "line.tried"),
)
# 2. When it falls due, as a ward's own policy says it.
RULES = """
[number.tried-not-after]
means = "A resting line is tried by then"
unit = "calendar-days"
values = [{ from = 2024-01-01, value = 28, source = "common-practice", how = "common-practice" }]

[[interval]]
id = "tried-in-time"
because = "A line at rest is tried in time."
source = "common-practice"
how = "common-practice"
task = "tried"
not_after = "tried-not-after"
"""


@pytest.fixture
def own_set(tmp_path: Path) -> str:
    own = tmp_path / "own"
    copytree(SHIPPED_FOLDER / "quillmere", own)
    (own / "tried.toml").write_text(RULES, encoding="utf-8")
    return str(own)


def test_a_recurring_task_falls_due(own_set: str) -> None:
    clock = FixedClock()
    chart = chart_with_a_line(clock)
    with with_kinds(TRIED):
        policy = load_policy(own_set)
        tried = NOON - timedelta(days=20)
        draft = Draft("c-1", "l-1", "line-tried", tried, "s-1", {})
        never = _tried(chart.entries("l-1"), policy, clock)
        chart.append([draft], "own")
        task = _tried(chart.entries("l-1"), policy, clock)

    assert never.state == "due"
    assert (task.label, task.state, task.since) == ("Tried", "later", tried)
    assert task.due_at == tried + timedelta(days=28)


def test_when_it_was_last_done_is_carried_by_a_case_file(own_set: str) -> None:
    clock = FixedClock()
    chart = chart_with_a_line(clock)
    with with_kinds(TRIED):
        draft = Draft("c-1", "l-1", "line-tried", NOON, "s-1", {})
        chart.append([draft], "own")
        case = line_state(chart.entries("l-1"), NOON, clock.now().tzinfo).case
        written = json.loads(json.dumps(case_as_mapping(case)))

    assert case_from_mapping(written, "case").line.done == (("tried", NOON),)


def _tried(entries, policy, clock):
    zone = clock.now().tzinfo
    case = line_state(entries, NOON, zone).case
    return next(t for t in due_tasks(case, NOON, policy) if t.task == "tried")
