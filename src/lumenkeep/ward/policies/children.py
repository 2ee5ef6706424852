"""Who on the wards would be treated differently, if a draft were in force."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.comparing.sides import outcome_of
from lumenkeep.core.due import DueTask, due_tasks
from lumenkeep.core.planning import Plan, plan_change
from lumenkeep.errors import SingleError
from lumenkeep.ward.chart.records import LineRecord

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime

    from lumenkeep.core.policy import Policy


@dataclass(frozen=True, slots=True)
class Answered:
    """What one policy says of one line; ``trouble`` where it gives no answer."""

    plan: Plan | None
    tasks: tuple[DueTask, ...]
    trouble: str = ""

    @property
    def sentence(self) -> str:
        """The answer, or why there is none."""
        return self.plan.sentence if self.plan else self.trouble


@dataclass(frozen=True, slots=True)
class LineChanged:
    """A line that the draft would treat differently.

    Attributes
    ----------
    now, then
        What the policy in force says, and what the draft says.
    plan_differs
        Whether the change plan itself differs, or only when something falls due.
    tasks
        Each task whose window moves: as it is, and as it would be.
    """

    record: LineRecord
    now: Answered
    then: Answered
    plan_differs: bool
    tasks: tuple[tuple[DueTask | None, DueTask | None], ...]


def lines_changed(
    lines: Iterable[LineRecord],
    in_force: Mapping[str, Policy],
    draft: Policy,
    at: datetime,
) -> tuple[LineChanged, ...]:
    """Return the lines whose plan or due times would change at ``at`` (UTC).

    Parameters
    ----------
    lines
        Lines in place; those on a ward not in ``in_force`` are left out.
    in_force
        The policy in force, by key of the ward.
    draft
        The policy that would take its place.
    """
    found = []
    for record in lines:
        policy = in_force.get(record.ward)
        if policy is None:
            continue
        now, then = _answered(record, policy, at), _answered(record, draft, at)
        moved = _moved(now.tasks, then.tasks)
        differs = _outcome(now) != _outcome(then)
        if differs or moved:
            found.append(LineChanged(record, now, then, differs, moved))
    return tuple(found)


def _answered(record: LineRecord, policy: Policy, at: datetime) -> Answered:
    case = record.state.case
    try:
        return Answered(plan_change(case, at, policy), due_tasks(case, at, policy))
    except SingleError as error:
        return Answered(None, (), error.fault.what)


def _outcome(answered: Answered) -> object:
    return outcome_of(answered.plan) if answered.plan else answered.trouble


def _moved(
    now: tuple[DueTask, ...], then: tuple[DueTask, ...]
) -> tuple[tuple[DueTask | None, DueTask | None], ...]:
    before = {(t.task, t.kind): t for t in now}
    after = {(t.task, t.kind): t for t in then}
    pairs = [(before.get(key), after.get(key)) for key in {**before, **after}]
    return tuple(pair for pair in pairs if _window(pair[0]) != _window(pair[1]))


def _window(task: DueTask | None) -> object:
    return None if task is None else (task.state, task.not_before, task.due_at)
