"""Answer for one case: its change plan and what is due, at one instant."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.due import DueTask, due_tasks
from lumenkeep.core.planning import Plan, plan_change
from lumenkeep.core.reading.line_reading import Hold, holds_of_case
from lumenkeep.core.recovery.plan_spares import PlanSpares, spares_of_plan

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.recovery.plan_spares import KeptSpares


@dataclass(frozen=True, slots=True)
class Answer:
    """A change plan with the line's tasks and its spares, joined for whoever shows them.

    ``spares`` is None where the plan is none to be laid out for; ``holds`` are the
    reasons not to use the line.
    """

    plan: Plan
    tasks: tuple[DueTask, ...]
    spares: PlanSpares | None
    holds: tuple[Hold, ...]


def plan_case(case: Case, at: datetime, policy: Policy, kept: KeptSpares) -> Answer:
    """Return plan, tasks, spares and reasons not to use the line for ``case`` at ``at`` (UTC)."""
    plan = plan_change(case, at, policy)
    spares = spares_of_plan(policy, case, plan, kept)
    holds = holds_of_case(case, at, policy)
    return Answer(plan, due_tasks(case, at, policy), spares, holds)
