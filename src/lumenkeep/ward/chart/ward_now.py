"""Every line of a ward with what is due on it, the most pressing first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.due import DueTask, due_tasks
from lumenkeep.errors import Fault, PolicyError, SingleError
from lumenkeep.ward.chart.records import LineRecord

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.chart.records import Chart, Policies

_ONE_MINUTE = timedelta(minutes=1)
# Two thousand lines, in the running minute and the one before.
_tasks = lru_cache(maxsize=4096)(due_tasks)
_NEVER = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class LineOnWard:
    """A line and its tasks, the most urgent first.

    ``fault`` is set, and there are no tasks, where the ward's policy gives no answer
    for this line: the others are shown all the same.
    """

    record: LineRecord
    tasks: tuple[DueTask, ...]
    fault: Fault | None = None


def ward_now(
    chart: Chart, policies: Policies, at: datetime, ward: str | None
) -> tuple[LineOnWard, ...]:
    """Return the lines of one ward, or of all (None), at ``at`` (UTC).

    First those on which hands are needed, longest overdue first; then the others by
    when the next task is due; last those without a clock. Tasks are seen from the
    end of the running minute: never late, and the same for all who look in it.
    """
    at = _end_of_minute(at)
    in_force = _policies_by_ward(chart, policies)
    lines = [
        _line_on_ward(record, at, in_force.get(record.ward))
        for record in chart.lines_in(ward)
    ]
    return tuple(sorted(lines, key=lambda line: _urgency(line, at)))


def _end_of_minute(at: datetime) -> datetime:
    start = at.replace(second=0, microsecond=0)
    return start if start == at else start + _ONE_MINUTE


def _policies_by_ward(chart: Chart, policies: Policies) -> dict[str, Policy | Fault]:
    found: dict[str, Policy | Fault] = {}
    for ward in chart.wards():
        try:
            found[ward.key] = policies.in_force(ward.policy_set, ward.key)
        except PolicyError as error:
            found[ward.key] = error.faults[0]
    return found


def _line_on_ward(
    record: LineRecord, at: datetime, policy: Policy | Fault | None
) -> LineOnWard:
    if policy is None:
        fault = Fault(
            "chart-no-ward",
            "The child lies on no ward, so no policy applies.",
            "stay",
            "chart on which ward the child lies",
        )
        return LineOnWard(record, (), fault)
    if isinstance(policy, Fault):
        return LineOnWard(record, (), policy)
    try:
        return LineOnWard(record, _tasks(record.state.case, at, policy))
    except SingleError as error:
        return LineOnWard(record, (), error.fault)


def _urgency(line: LineOnWard, at: datetime) -> tuple[int, datetime, str]:
    if line.fault is not None:
        return 0, at, line.record.key
    pressing = [task for task in line.tasks if task.is_now]
    if pressing:
        since = min(task.overdue_since or at for task in pressing)
        return 1, since, line.record.key
    due = min((task.due_at for task in line.tasks if task.due_at), default=_NEVER)
    return 2, due, line.record.key
