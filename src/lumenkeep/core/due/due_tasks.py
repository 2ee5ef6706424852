"""Work out what is due on a line, from the last time each thing was done."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from lumenkeep.core.due.readings import by_bar, by_clock, by_finding, by_nothing
from lumenkeep.core.due.standing import Job, TaskStanding, standing
from lumenkeep.core.due.task import DueTask
from lumenkeep.core.entries import every_task
from lumenkeep.core.model import Case, Line, Unknown
from lumenkeep.core.model.facts import NEVER_CHARTED
from lumenkeep.core.policy import Policy, RuleBook, Situation, narrowed
from lumenkeep.core.policy.vocabulary import OWN_TASKS, TASKS

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

URGENCY = ("overdue", "due", "may-now", "later", "too-early", "on-finding")
STATES_NOW = ("overdue", "due")


def due_tasks(case: Case, at: datetime, policy: Policy) -> tuple[DueTask, ...]:
    """Return every task of the line, the most urgent first, at one instant (UTC).

    Parameters
    ----------
    case
        Child and line; what is unknown is due now, and says so.
    at
        Instant asked about (UTC).
    policy
        The set in force.

    Raises
    ------
    NoRuleError
        A number of the policy is not yet in force on that day.
    RuleConflictError
        Two intervals of equal priority both apply.

    Notes
    -----
    There is a task for the dressing and for each set that hangs, also where the
    policy says nothing of their kind: then it is due, and says whom to ask. There is
    none where the policy says that it does not arise, as under a port without needle.
    """
    book = policy.on(at.astimezone(case.zone).date())
    situation = narrowed(Situation(case, at), book)
    cell = book.cells.of(situation)
    found = []
    for job in _jobs(case):
        told = standing(book, situation, job, cell)
        if not told.is_nothing and (told.says_something or _is_there(job)):
            found.append(_task(told, book, situation, job))
    return tuple(sorted(found, key=_urgency))


def dressing_task(tasks: tuple[DueTask, ...]) -> DueTask | None:
    """Return the dressing's task among a line's; None where none arises."""
    return next((task for task in tasks if task.task == "dressing"), None)


def _urgency(task: DueTask) -> tuple[int, float]:
    due = task.due_at.timestamp() if task.due_at else inf
    return (0 if task.state in STATES_NOW else 1, due)


def _jobs(case: Case) -> Iterator[Job]:
    line = case.line
    worn = None if isinstance(line.dressing.kind, Unknown) else line.dressing.kind
    dressing = line.dressing
    # A dressing that is named is judged, whatever else is said of it.
    is_off = dressing.is_off and worn is None
    yield Job("dressing", dressing.applied, worn, dressing=worn, is_off=is_off)
    yield Job("connector", line.connectors_changed)
    yield Job("port-needle", line.needle_changed)
    yield Job("line-stay", line.inserted)
    yield Job("line-review", line.reviewed)
    yield Job("site-check", line.inspected)
    yield from _further(line)
    if isinstance(line.sets, Unknown):
        yield Job("set", line.sets)
        return
    for hung in line.sets:
        kind = None if isinstance(hung.kind, Unknown) else hung.kind
        yield Job("set", hung.changed, kind, set_kind=kind)


def _further(line: Line) -> Iterator[Job]:
    """Yield the recurring tasks that only the registry of entries knows."""
    done = dict(line.done)
    for task in every_task():
        if task.word not in OWN_TASKS:
            name = task.fact.removeprefix("line.")
            yield Job(task.word, done.get(name, NEVER_CHARTED))


def _is_there(job: Job) -> bool:
    """Return whether something is on the line of which the policy must speak."""
    return job.task == "dressing" or (job.task == "set" and job.kind is not None)


def _task(
    told: TaskStanding, book: RuleBook, situation: Situation, job: Job
) -> DueTask:
    since = None if isinstance(job.since, Unknown) else job.since
    reading = (
        by_finding(told, situation, since)
        or by_bar(told, book, situation, job, since)
        or by_nothing(told, book, situation, job)
        or by_clock(told, situation, job, since)
    )
    return DueTask(
        task=job.task,
        label=TASKS[job.task],
        kind=job.kind,
        state=reading.state,
        since=since,
        not_before=reading.not_before,
        due_at=reading.due_at,
        overdue_since=reading.overdue_since,
        why=(*reading.why, *told.because),
        asks=told.asks,
        rules=told.rules,
        sources=told.sources,
    )
