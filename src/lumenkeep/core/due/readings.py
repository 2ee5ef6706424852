"""When a task is due: by a finding, by a bar on what is worn, or by its clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.core.due.worn import barred_since
from lumenkeep.core.model import Unknown
from lumenkeep.core.model.words import DRESSINGS, SET_KINDS

if TYPE_CHECKING:
    from lumenkeep.core.due.standing import Job, TaskStanding
    from lumenkeep.core.policy import RuleBook, Situation

NO_CLOCK = "No clock runs: look, and change it when it fails."
TOO_EARLY = "Changing it now would be too early."
SHORTEST = "Which limit applies is not known, so the shortest counts."


@dataclass(frozen=True, slots=True)
class TaskReading:
    """State and instants (UTC) of a task, and why; see `DueTask`."""

    state: str
    not_before: datetime | None = None
    due_at: datetime | None = None
    overdue_since: datetime | None = None
    why: tuple[str, ...] = ()


def by_finding(
    standing: TaskStanding, situation: Situation, since: datetime | None
) -> TaskReading | None:
    """Return the task as due since the first finding; the clock no longer counts."""
    if not standing.found:
        return None
    named = {
        word
        for live in standing.found
        for row in live.when.rows
        for c in row
        if c.fact == "findings" and isinstance(c.limit, frozenset)
        for word in c.limit
    }
    seen = situation.case.line.dressing.findings
    times = (
        []
        if isinstance(seen, Unknown)
        else [
            situation.at if f.at is None else f.at
            for f in seen
            if f.kind in named and (f.at is None or f.at <= situation.at)
        ]
    )
    first = min(times, default=situation.at)
    if since is not None and first < since:
        first = since
    words = ", ".join(sorted(named & set(situation.findings or ())))
    why = (f"Found {words}.",) if words else ()
    return TaskReading("due", None, first, first, (*why, *_barred_words(standing)))


def by_bar(
    standing: TaskStanding,
    book: RuleBook,
    situation: Situation,
    job: Job,
    since: datetime | None,
) -> TaskReading | None:
    """Return the task as due since what is worn was first barred."""
    if not standing.bars.held:
        return None
    first = barred_since(book, situation, job.dressing, since)
    if job.dressing is None:
        why = ("Nobody charted which dressing is on, and one that may be is barred.",)
        return TaskReading("due", None, first, None, (*why, *_barred_words(standing)))
    return TaskReading("due", None, first, None, _barred_words(standing))


def _barred_words(standing: TaskStanding) -> tuple[str, ...]:
    return tuple(f"May not stay on: {live.rule.because}" for live in standing.bars.held)


def by_nothing(
    standing: TaskStanding, book: RuleBook, situation: Situation, job: Job
) -> TaskReading | None:
    """Return the task as due now where the policy says nothing about what is there."""
    if standing.says_something:
        return None
    labels = {"dressing": DRESSINGS, "set": SET_KINDS}[job.task]
    what = labels.get(job.kind or "", "what is there").lower()
    since = None if isinstance(job.since, Unknown) else job.since
    why = f"The policy says nothing about {what}: ask {book.policy.call}."
    return TaskReading("due", None, since or situation.at, None, (why,))


def by_clock(
    standing: TaskStanding, situation: Situation, job: Job, since: datetime | None
) -> TaskReading:
    """Return the task by its window, counted from the last time it was done."""
    at, zone, window = situation.at, situation.zone, standing.window
    if window is None or (window.not_before is None and window.not_after is None):
        return TaskReading("on-finding", why=(NO_CLOCK,))
    if since is None:
        reason = job.since.reason if isinstance(job.since, Unknown) else ""
        why = f"Nobody knows when this was last done ({reason})."
        return TaskReading("due", None, at, None, (why,))
    not_before = window.not_before.after(since, zone) if window.not_before else None
    due_at = window.not_after.after(since, zone) if window.not_after else None
    open_ = () if window.is_decided else (SHORTEST,)
    if due_at is not None and at >= due_at:
        late = at > due_at
        state = "overdue" if late else "due"
        return TaskReading(state, not_before, due_at, due_at if late else None, open_)
    if not_before is None:
        return TaskReading("later", None, due_at, None, open_)
    if at < not_before:
        return TaskReading("too-early", not_before, due_at, None, (TOO_EARLY, *open_))
    return TaskReading("may-now", not_before, due_at, None, open_)
