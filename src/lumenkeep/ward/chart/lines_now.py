"""Lines with what is due on them: one in full, a ward's, and the plan of a past instant."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.due import DueTask, due_tasks
from lumenkeep.core.entries import LineState, line_state
from lumenkeep.core.model.chart import standing
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.place import Place, place
from lumenkeep.core.planning import Plan, plan_change
from lumenkeep.errors import ChartError, Fault, PolicyError, SingleError
from lumenkeep.ward.chart.line_at_hand import LineAtHand, line_at_hand
from lumenkeep.ward.chart.records import LineRecord

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.store.policies import PoliciesInForce
    from lumenkeep.ward.site.people import WardRecord


@dataclass(frozen=True, slots=True)
class LineStory:
    """A line with its history.

    Attributes
    ----------
    tasks
        The most urgent first; none for a line that is out.
    entries
        Latest happening first, corrected and withdrawn ones included.
    """

    line: LineAtHand
    tasks: tuple[DueTask, ...]
    entries: tuple[Entry, ...]

    @property
    def corrected_by(self) -> Mapping[int, int]:
        """Id of the correcting entry by the id of the corrected one."""
        return {e.corrects: e.id for e in self.entries if e.corrects is not None}

    @property
    def lengths(self) -> tuple[tuple[datetime, float], ...]:
        """Instant (UTC) and external length in mm, oldest first, corrected ones out."""
        return self.line.record.state.lengths


def line_story(at: WardContext, now: datetime, line: str) -> LineStory:
    """Return the story of one line, seen from ``now`` (UTC).

    Raises
    ------
    ChartError
        ``chart-no-such-line``.
    NoRuleError, RuleConflictError
        The ward's policy gives no answer for this line.
    """
    found = line_at_hand(at, line)
    state = found.record.state
    entries = sorted(
        at.chart.entries(line), key=lambda e: (e.happened_at, e.id), reverse=True
    )
    is_in = state.removed_at is None
    return LineStory(
        found,
        due_tasks(state.case, now, found.policy) if is_in else (),
        tuple(entries),
    )


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
    at: WardContext, now: datetime, ward: str | None
) -> tuple[LineOnWard, ...]:
    """Return the lines of one ward, or of all (None), at ``now`` (UTC).

    First those on which hands are needed, longest overdue first; then the others by
    when the next task is due; last those without a clock. Tasks are seen from the
    end of the running minute: never late, and the same for all who look in it.
    """
    seen_from = _end_of_minute(now)
    in_force = _policies_by_ward(at)
    lines = [
        _line_on_ward(record, seen_from, in_force.get(record.ward))
        for record in at.chart.lines_in(ward)
    ]
    return tuple(sorted(lines, key=lambda line: _urgency(line, seen_from)))


def _end_of_minute(at: datetime) -> datetime:
    start = at.replace(second=0, microsecond=0)
    return start if start == at else start + _ONE_MINUTE


def _policies_by_ward(at: WardContext) -> dict[str, Policy | Fault]:
    found: dict[str, Policy | Fault] = {}
    for ward in at.chart.wards():
        try:
            found[ward.key] = at.policies.in_force(ward.policy_set, ward.key)
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


def replay_plan(at: WardContext, line: str, then: datetime) -> Replay:
    """Return plan and tasks as they were ``then`` (UTC).

    What was written later counts for nothing, even if it happened earlier.

    Raises
    ------
    ChartError
        ``chart-not-yet-known``: nothing of this line had been written by then.
    """
    entries = at.chart.entries(line)
    known = [e for e in standing(entries, then) if e.happened_at <= then]
    where = place(entries, then, known_at=then)
    ward = next((w for w in at.chart.wards() if w.key == where.ward), None)
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
    return _replayed(at.policies, entries, ward, where, then)


def _replayed(
    policies: PoliciesInForce,
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
