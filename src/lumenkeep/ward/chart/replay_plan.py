"""The plan of a past instant: what was known then, under the policy in force then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.core.due import DueTask, due_tasks
from lumenkeep.core.entries import LineState, line_state
from lumenkeep.core.model.chart import standing
from lumenkeep.core.model.place import Place, place
from lumenkeep.core.planning import Plan, plan_change
from lumenkeep.errors import ChartError, Fault

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.records import Chart, Policies
    from lumenkeep.ward.site.people import WardRecord


@dataclass(frozen=True, slots=True)
class Replay:
    """An old answer, given again.

    Attributes
    ----------
    at
        The instant it was for (UTC).
    is_on_record
        Whether the policy version of that instant is on record. If not, today's
        version was used, and the page must say so.
    """

    at: datetime
    plan: Plan
    tasks: tuple[DueTask, ...]
    state: LineState
    place: Place
    is_on_record: bool


def replay_plan(chart: Chart, policies: Policies, line: str, at: datetime) -> Replay:
    """Return plan and tasks as they were at ``at`` (UTC).

    What was written later counts for nothing, even if it happened earlier.

    Raises
    ------
    ChartError
        ``chart-not-yet-known``: nothing of this line had been written by then.
    """
    entries = chart.entries(line)
    known = [e for e in standing(entries, at) if e.happened_at <= at]
    where = place(entries, at, known_at=at)
    ward = next((w for w in chart.wards() if w.key == where.ward), None)
    if ward is None or not any(e.kind == "line-inserted" for e in known):
        raise ChartError(
            [
                Fault(
                    "chart-not-yet-known",
                    "Nothing had been charted of this line by then.",
                    "at",
                    "ask about a later time",
                )
            ]
        )
    return _replayed(policies, entries, ward, where, at)


def _replayed(
    policies: Policies,
    entries: Sequence[Entry],
    ward: WardRecord,
    where: Place,
    at: datetime,
) -> Replay:
    recorded = policies.in_force_at(ward.policy_set, at, ward.key)
    policy = recorded or policies.in_force(ward.policy_set, ward.key)
    state = line_state(entries, at, ward.zone, known_at=at)
    return Replay(
        at,
        plan_change(state.case, at, policy),
        due_tasks(state.case, at, policy),
        state,
        where,
        recorded is not None,
    )
