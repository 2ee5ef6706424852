"""What holds for everything that falls due, under every shipped set."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, note, settings
from hypothesis import strategies as st
from tests.strategies import Asked, asked, dressing_kinds, minutes

from lumenkeep.core.due import due_tasks
from lumenkeep.core.model import NOT_GIVEN, Finding, Unknown
from lumenkeep.core.policy import load_policy, shipped_sets

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from lumenkeep.core.due import DueTask
    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy

# Many examples a test: a busy machine takes its time.
pytestmark = pytest.mark.timeout(60)
EXAMPLES = settings(max_examples=50)


def every_set() -> Iterator[Policy]:
    """Yield each shipped set, noting which one a failure is about."""
    for name in shipped_sets():
        note(f"under {name}")
        yield load_policy(name)


@EXAMPLES
@given(given_=asked())
def test_nothing_is_due_before_it_was_last_done(given_: Asked) -> None:
    for policy in every_set():
        for task in due_tasks(given_.case, given_.at, policy):
            for limit in (task.not_before, task.due_at, task.overdue_since):
                assert task.since is None or limit is None or limit >= task.since


def state_of(task: DueTask, at: datetime) -> str:
    """Return the state that the task's own instants make, without its findings."""
    if task.not_before is not None and at < task.not_before:
        return "too-early"
    if task.due_at is None:
        return "on-finding" if task.not_before is None else "may-now"
    if at < task.due_at:
        return "later" if task.not_before is None else "may-now"
    return "due" if task.overdue_since is None else "overdue"


@EXAMPLES
@given(given_=asked())
def test_state_and_instants_agree(given_: Asked) -> None:
    for policy in every_set():
        for task in due_tasks(given_.case, given_.at, policy):
            by_finding = task.why[0].startswith("Found ")
            assert task.state == ("due" if by_finding else state_of(task, given_.at))
            assert by_finding or task.overdue_since in (None, task.due_at)
            assert not task.overdue_since or task.overdue_since <= given_.at
            if task.not_before and task.due_at:
                assert task.not_before <= task.due_at


@EXAMPLES
@given(given_=asked())
def test_what_was_never_charted_is_due_now_unless_no_clock_runs(given_: Asked) -> None:
    for policy in every_set():
        for task in due_tasks(given_.case, given_.at, policy):
            if task.since is None:
                assert task.is_now or task.state == "on-finding"


@EXAMPLES
@given(given_=asked())
def test_the_most_urgent_stands_first(given_: Asked) -> None:
    for policy in every_set():
        tasks = due_tasks(given_.case, given_.at, policy)

        hands = [task.is_now for task in tasks]
        assert hands == sorted(hands, reverse=True)
        for group in (True, False):
            due = [
                t.due_at for t in tasks if t.is_now is group and t.due_at is not None
            ]
            assert due == sorted(due)


@EXAMPLES
@given(given_=asked(), kind=dressing_kinds)
def test_not_knowing_the_dressing_never_buys_time(given_: Asked, kind: str) -> None:
    for policy in every_set():
        line = given_.case.line
        known = replace(
            given_.case, line=replace(line, dressing=replace(line.dressing, kind=kind))
        )
        unknown = replace(
            given_.case,
            line=replace(line, dressing=replace(line.dressing, kind=NOT_GIVEN)),
        )

        [sure] = [
            t for t in due_tasks(known, given_.at, policy) if t.task == "dressing"
        ]
        [open_] = [
            t for t in due_tasks(unknown, given_.at, policy) if t.task == "dressing"
        ]

        if sure.due_at is not None:
            # One that may be barred is due since the bar, and so by now at the latest.
            assert open_.due_at is not None
            assert open_.due_at <= max(sure.due_at, given_.at)


def by_task(
    case: Case, at: datetime, policy: Policy
) -> dict[tuple[str, str | None, datetime | None], DueTask]:
    return {(t.task, t.kind, t.since): t for t in due_tasks(case, at, policy)}


@EXAMPLES
@given(given_=asked(), wait=minutes(timedelta(), timedelta(days=30)))
def test_time_alone_never_makes_a_task_less_urgent(
    given_: Asked, wait: timedelta
) -> None:
    """With nothing charted in between and the child's age and mass out of it.

    Both are facts that time changes: a weighing counts no more after some days, and
    what it barred then only may be barred.
    """
    for policy in every_set():
        timeless = replace(given_.case.child, born=NOT_GIVEN, weights=())
        case = replace(given_.case, child=timeless)
        findings = case.line.dressing.findings
        seen = () if isinstance(findings, Unknown) else findings
        case = replace(
            case,
            line=replace(
                case.line,
                dressing=replace(
                    case.line.dressing,
                    findings=tuple(
                        replace(f, at=given_.at) if f.at is None else f for f in seen
                    ),
                ),
            ),
        )

        now, then = (by_task(case, at, policy) for at in (given_.at, given_.at + wait))

        assert now.keys() == then.keys()
        for key, task in now.items():
            if task.is_now:
                assert then[key].is_now
            if task.since is not None:
                assert then[key].due_at == task.due_at


@EXAMPLES
@given(given_=asked(), data=st.data())
def test_a_finding_since_the_last_change_is_due_since_then(
    given_: Asked, data: st.DataObject
) -> None:
    for policy in every_set():
        applied = given_.at - data.draw(minutes(timedelta(), timedelta(days=6)))
        seen = applied + data.draw(minutes(timedelta(), given_.at - applied))
        kind = data.draw(st.sampled_from(("damp", "loose", "soiled", "bleeding")))
        line = given_.case.line
        case = replace(
            given_.case,
            line=replace(
                line,
                dressing=replace(
                    line.dressing, applied=applied, findings=(Finding(kind, seen),)
                ),
            ),
        )

        tasks = due_tasks(case, given_.at, policy)

        [task] = [t for t in tasks if t.task == "dressing"]
        assert task.is_now
        assert task.due_at == seen
        assert task.why[0] == f"Found {kind}."
