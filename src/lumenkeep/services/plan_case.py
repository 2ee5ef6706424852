"""Answer for one case: its change plan and what is due, at one instant."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.due import DueTask, due_tasks
from lumenkeep.planning import Plan, plan_change

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.model import Case
    from lumenkeep.policy import Policy


@dataclass(frozen=True, slots=True)
class Answer:
    """A change plan with the line's tasks, joined for whoever shows them."""

    plan: Plan
    tasks: tuple[DueTask, ...]


def plan_case(case: Case, at: datetime, policy: Policy) -> Answer:
    """Return plan and tasks for ``case`` at ``at`` (UTC)."""
    return Answer(plan_change(case, at, policy), due_tasks(case, at, policy))
