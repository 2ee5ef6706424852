"""Whether what was done was done in time, by the policy it was charted under."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lumenkeep.due import due_tasks
from lumenkeep.errors import LumenkeepError
from lumenkeep.model.chart import line_state

if TYPE_CHECKING:
    from lumenkeep.due import DueTask
    from lumenkeep.model.entry import Entry
    from lumenkeep.policy import Policy
    from lumenkeep.services.look_back.asked import Asked, LineEntries

TASK_OF = {
    "dressing-change": "dressing",
    "connector-change": "connector",
    "set-change": "set",
    "needle-change": "port-needle",
}
TASK_WORDS = {
    "dressing": "Dressing changes",
    "connector": "Connector changes",
    "set": "Administration set changes",
    "port-needle": "Port needle changes",
}
IN_TIME, LATE, BY_FINDING, UNKNOWN = "in-time", "late", "by-finding", "unknown"
PLANNED = "planned"
LOOKS = ("line-review", "site-check")
LAST_DECIDES = ("connector-change", "set-change", "needle-change")


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


def done_on(asked: Asked) -> tuple[Done, ...]:
    """Return what was done on the ward in the period, in order."""
    judge = _Judge(asked)
    found = []
    for line in asked.lines():
        for index, entry in enumerate(line.entries):
            if entry.kind not in TASK_OF or not _is_in(asked, entry):
                continue
            if line.ward_at(index) == asked.ward.key:
                found.append(judge.judged(line, entry))
    return tuple(sorted(found, key=lambda one: (one.at, one.entry)))


def overdue_on(asked: Asked) -> tuple[Overdue, ...]:
    """Return what was overdue on the ward's lines when the period ended."""
    judge = _Judge(asked)
    found: list[Overdue] = []
    for line in asked.lines():
        last = len(line.entries) - 1
        if last >= 0 and line.ward_at(last) == asked.ward.key:
            found += judge.overdue(line)
    return tuple(sorted(found, key=lambda one: (one.since, one.line)))


def _is_in(asked: Asked, entry: Entry) -> bool:
    return asked.start <= entry.happened_at < asked.end


class _Judge:
    """Holds each version of the policy that the ward's entries were charted under."""

    def __init__(self, asked: Asked) -> None:
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

    def judged(self, line: LineEntries, entry: Entry) -> Done:
        """Return whether one thing was done in time."""
        task = TASK_OF[entry.kind]
        because = entry.body.get("because")
        if task == "dressing" and because not in (None, "", PLANNED):
            return self._done(line, entry, BY_FINDING)
        due_at, why = self._due(line, entry, task)
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
        self, line: LineEntries, entry: Entry, task: str
    ) -> tuple[datetime | None, str]:
        """Return when it was due just before it was done, or why nobody can say."""
        policy = self.policy(entry)
        if policy is None:
            return None, "no policy of that day is on record"
        before = _telling(line, entry)
        try:
            state = line_state(before, entry.happened_at, self.asked.ward.zone)
            tasks = due_tasks(state.case, entry.happened_at, policy)
        except LumenkeepError:
            return None, "the policy gives no answer for this line"
        found = _task(tasks, task, before, entry)
        if found is None or found.since is None:
            return None, "the time before it was not charted"
        if found.due_at is None:
            return None, "the policy sets no clock for it"
        return found.due_at, ""

    def overdue(self, line: LineEntries) -> list[Overdue]:
        """Return what was overdue on one line at the end of the period."""
        end, zone = self.asked.end, self.asked.ward.zone
        state = line_state(line.entries, end, zone)
        policy = self.policy(line.entries[-1])
        if state.removed_at is not None or policy is None:
            return []
        try:
            tasks = due_tasks(state.case, end, policy)
        except LumenkeepError:
            return []
        return [
            Overdue(line.key, one.task, one.overdue_since, _since(line, one))
            for one in tasks
            if one.task in TASK_WORDS and one.overdue_since is not None
        ]


def _telling(line: LineEntries, entry: Entry) -> list[Entry]:
    """Return what decides when a thing was due before an entry, in order.

    Looks at a site, and what was done before the last time, decide nothing here; to
    fold them for every entry again would take most of the time.
    """
    kept: dict[object, Entry] = {}
    for e in line.entries:
        if e.happened_at > entry.happened_at:
            break
        if e.id == entry.id or e.kind in LOOKS:
            continue
        kept[(e.kind, e.body.get("set")) if e.kind in LAST_DECIDES else e.id] = e
    return sorted(kept.values(), key=lambda e: (e.happened_at, e.id))


def _task(
    tasks: tuple[DueTask, ...], task: str, before: list[Entry], entry: Entry
) -> DueTask | None:
    """Return the task; of several sets the one last changed under the same name."""
    those = [one for one in tasks if one.task == task]
    if task != "set":
        return those[0] if those else None
    name = entry.body.get("set", "main")
    times = [
        e.happened_at
        for e in before
        if e.kind == "set-change"
        and e.body.get("set", "main") == name
        and e.happened_at <= entry.happened_at
    ]
    return next((one for one in those if times and one.since == times[-1]), None)


def _since(line: LineEntries, task: DueTask) -> tuple[int, ...]:
    """Return the entries that a task's clock or finding starts from."""
    times = {task.since, task.overdue_since}
    return tuple(e.id for e in line.entries if e.happened_at in times)
