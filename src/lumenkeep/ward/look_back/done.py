"""Whether what was done was done in time, by the policy it was charted under."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING

from lumenkeep.core.due import due_tasks
from lumenkeep.core.entries import LineFold, line_state, take
from lumenkeep.core.entries.kinds.of_hanging import set_of
from lumenkeep.errors import LumenkeepError, PolicyError
from lumenkeep.ward.chart.tasks import KIND_OF_TASK

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.due import DueTask
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.look_back.request import LineEntries, LookBackRequest

TASK_WORDS = {
    "dressing": "Dressing changes",
    "connector": "Connector changes",
    "set": "Administration set changes",
    "port-needle": "Port needle changes",
}
TASK_OF = {KIND_OF_TASK[task]: task for task in TASK_WORDS}
ONE_OF = {
    task: words[:1].lower() + words[1:].removesuffix("s")
    for task, words in TASK_WORDS.items()
}
NO_ANSWER = "the policy gives no answer for this line"
LOOKS = ("line-review", "site-check")
NO_POLICY = "no policy of that day is on record"
DUE = "due"
IN_TIME, LATE, BY_FINDING, UNKNOWN = "in-time", "late", "by-finding", "unknown"
PLANNED = "planned"


@dataclass(frozen=True, slots=True)
class Done:
    """One thing done on one line.

    Attributes
    ----------
    verdict
        "in-time", "late", "by-finding" (no clock was asked: a finding made it due),
        or "unknown" with ``why``.
    late_by
        How long after it was due, where it was late.
    """

    entry: int
    line: str
    task: str
    at: datetime
    verdict: str
    why: str = ""
    late_by: timedelta | None = None


@dataclass(frozen=True, slots=True)
class Overdue:
    """A task overdue when the period ended, with the entry it counts from."""

    line: str
    task: str
    since: datetime
    entries: tuple[int, ...]


def done_on(asked: LookBackRequest) -> tuple[Done, ...]:
    """Return what was done on the ward in the period, in order."""
    judge = _Judge(asked)
    found = [
        judge.judged(line, entry, fold)
        for line in asked.lines
        for entry, fold in _each_done(asked, line)
    ]
    return tuple(sorted(found, key=lambda one: (one.at, one.entry)))


def _each_done(
    asked: LookBackRequest, line: LineEntries
) -> Iterator[tuple[Entry, LineFold]]:
    """Yield each thing done on the ward in the period, with the line as all else left it.

    What was charted for the same moment is part of how the line was left.
    """
    here = {e.id for e in line.on_ward(asked.ward.key) if e.kind in TASK_OF}
    fold = LineFold(asked.ward.zone)
    for _, same in groupby(line.entries, key=lambda e: e.happened_at):
        moment = tuple(same)
        for entry in moment:
            if entry.id in here and asked.holds(entry):
                before = fold.branch()
                for other in moment:
                    if other is not entry:
                        take(before, other)
                yield entry, before
        for entry in moment:
            # A look at a site decides nothing here, and there are many.
            if entry.kind not in LOOKS:
                take(fold, entry)


@dataclass(frozen=True, slots=True)
class StillDue:
    """What was overdue when the period ended, and lines of which that is not known."""

    overdue: tuple[Overdue, ...]
    unknown: Mapping[str, tuple[str, ...]]


def still_due_on(asked: LookBackRequest) -> StillDue:
    """Return what was overdue on the ward's lines when the period ended.

    Lines of which that cannot be said stand by the reason.
    """
    judge = _Judge(asked)
    found: list[Overdue] = []
    unknown: dict[str, list[str]] = {}
    for line in asked.lines:
        if not line.wards or line.wards[-1] != asked.ward.key:
            continue
        overdue, reasons = judge.still_due(line)
        found += overdue
        for why in reasons:
            unknown.setdefault(why, []).append(line.key)
    return StillDue(
        tuple(sorted(found, key=lambda one: (one.since, one.line))),
        {why: tuple(lines) for why, lines in sorted(unknown.items())},
    )


class _Judge:
    """Holds each version of the policy that the ward's entries were charted under."""

    def __init__(self, asked: LookBackRequest) -> None:
        self.asked = asked
        self.known: dict[str, Policy | None] = {}

    def policy(self, entry: Entry) -> Policy | None:
        """Return the version an entry was charted under; None where none is known."""
        if entry.policy not in self.known:
            ward = self.asked.ward
            self.known[entry.policy] = self.asked.sources.policies.in_force_at(
                ward.policy_set, entry.written_at, ward.key
            )
        return self.known[entry.policy]

    @cached_property
    def policy_at_end(self) -> Policy | None:
        """The version in force when the period ended."""
        ward, policies = self.asked.ward, self.asked.sources.policies
        end = self.asked.end.astimezone(UTC)
        try:
            if self.asked.is_running:
                return policies.in_force(ward.policy_set, ward.key)
            return policies.in_force_at(ward.policy_set, end, ward.key)
        except PolicyError:
            return None

    def judged(self, line: LineEntries, entry: Entry, before: LineFold) -> Done:
        """Return whether one thing was done in time."""
        task = TASK_OF[entry.kind]
        because = entry.body.get("because")
        if task == "dressing" and because not in (None, "", PLANNED):
            return self._done(line, entry, BY_FINDING)
        due_at, why = self._due(entry, task, before)
        if due_at is None:
            return self._done(line, entry, UNKNOWN, why)
        if entry.happened_at <= due_at:
            if task == "dressing" and not because:
                # It may have been a finding; that is no change in time.
                return self._done(
                    line, entry, UNKNOWN, "nobody charted why it was done"
                )
            return self._done(line, entry, IN_TIME)
        late_by = entry.happened_at - due_at
        return self._done(line, entry, LATE, late_by=late_by)

    def _done(
        self,
        line: LineEntries,
        entry: Entry,
        verdict: str,
        why: str = "",
        late_by: timedelta | None = None,
    ) -> Done:
        task = TASK_OF[entry.kind]
        return Done(entry.id, line.key, task, entry.happened_at, verdict, why, late_by)

    def _due(
        self, entry: Entry, task: str, before: LineFold
    ) -> tuple[datetime | None, str]:
        """Return when it was due just before it was done, or why nobody can say."""
        policy = self.policy(entry)
        if policy is None:
            return None, NO_POLICY
        try:
            tasks = due_tasks(before.state().case, entry.happened_at, policy)
        except LumenkeepError:
            return None, NO_ANSWER
        found = _task(tasks, task, before, entry)
        if found is None or found.since is None:
            return None, "the time before it was not charted"
        if found.due_at is None:
            return None, "the policy sets no clock for it"
        return found.due_at, ""

    def still_due(self, line: LineEntries) -> tuple[list[Overdue], list[str]]:
        """Return what was overdue on a line at the end, and why more cannot be said."""
        end, ward = self.asked.end, self.asked.ward
        state = line_state(line.entries, end, ward.zone)
        if state.removed_at is not None:
            return [], []
        policy = self.policy_at_end
        if policy is None:
            return [], [NO_POLICY]
        try:
            tasks = due_tasks(state.case, end, policy)
        except LumenkeepError:
            return [], [NO_ANSWER]
        those = [one for one in tasks if one.task in TASK_WORDS]
        return [
            Overdue(line.key, one.task, one.overdue_since, _since(line, one))
            for one in those
            if one.overdue_since is not None
        ], [
            f"the last {ONE_OF[one.task]} is not charted"
            for one in those
            if one.state == DUE and one.since is None and one.overdue_since is None
        ]


def _task(
    tasks: tuple[DueTask, ...], task: str, before: LineFold, entry: Entry
) -> DueTask | None:
    """Return the task; of several sets the one last changed under the same name."""
    those = [one for one in tasks if one.task == task]
    if task != "set":
        return those[0] if those else None
    hung = before.sets.get(set_of(entry))
    return next((one for one in those if hung and one.since == hung.changed), None)


def _since(line: LineEntries, task: DueTask) -> tuple[int, ...]:
    """Return the entries that a task's clock or finding starts from."""
    times = {task.since, task.overdue_since}
    return tuple(e.id for e in line.entries if e.happened_at in times)
