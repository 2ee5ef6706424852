"""Answer for one case: its change plan and what is due, at one instant."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.due import DueTask, due_tasks
from lumenkeep.planning import Plan, plan_change
from lumenkeep.services.plan_spares import PlanSpares, spares_asked, spares_in_plan

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.model import Case
    from lumenkeep.policy import Policy
    from lumenkeep.services.plan_spares import KeptSpares


@dataclass(frozen=True, slots=True)
class Answer:
    """A change plan with the line's tasks and its spares, joined for whoever shows them.

    ``spares`` is None where the plan is none to be laid out for.
    """

    plan: Plan
    tasks: tuple[DueTask, ...]
    spares: PlanSpares | None


def plan_case(case: Case, at: datetime, policy: Policy, kept: KeptSpares) -> Answer:
    """Return plan, tasks and spares for ``case`` at ``at`` (UTC)."""
    plan = plan_change(case, at, policy)
    asked = spares_asked(policy, case, plan)
    spares = None if asked is None else spares_in_plan(asked, kept)
    return Answer(plan, due_tasks(case, at, policy), spares)
