"""Work out what is due on a line, from the last time each thing was done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from math import inf
from typing import TYPE_CHECKING

from lumenkeep.due.task import DueTask
from lumenkeep.model import Case, Fact, Unknown
from lumenkeep.policy import (
    LiveRule,
    Policy,
    RuleBook,
    Situation,
    Window,
    keep,
    narrowed,
    window_for,
)
from lumenkeep.policy.rules import AtOnce
from lumenkeep.policy.vocabulary import TASKS

if TYPE_CHECKING:
    from collections.abc import Hashable, Sequence

    from lumenkeep.policy.rules import Rule

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
    """
    book = policy.on(at.astimezone(case.zone).date())
    situation = narrowed(Situation(case, at), book)
    cell = book.cells.of(situation)
    found = []
    for job in _jobs(case):
        standing = _standing(book, situation, job, cell)
        if standing is not None:
            found.append(_task(standing, situation, job))
    return tuple(sorted(found, key=_urgency))


def dressing_task(tasks: tuple[DueTask, ...]) -> DueTask | None:
    """Return the dressing's task among a line's; None where the policy has none."""
    return next((task for task in tasks if task.task == "dressing"), None)


def _urgency(task: DueTask) -> tuple[int, float]:
    due = task.due_at.timestamp() if task.due_at else inf
    return (0 if task.state in STATES_NOW else 1, due)


@dataclass(frozen=True, slots=True)
class _Job:
    task: str
    since: Fact[datetime]
    kind: str | None = None
    dressing: str | None = None
    set_kind: str | None = None


def _jobs(case: Case) -> list[_Job]:
    line = case.line
    worn = None if isinstance(line.dressing.kind, Unknown) else line.dressing.kind
    jobs = [
        _Job("dressing", line.dressing.applied, worn, dressing=worn),
        _Job("connector", line.connectors_changed),
        _Job("port-needle", line.needle_changed),
        _Job("line-stay", line.inserted),
        _Job("line-review", line.reviewed),
        _Job("site-check", line.inspected),
    ]
    if isinstance(line.sets, Unknown):
        jobs.append(_Job("set", line.sets))
    else:
        for hung in line.sets:
            kind = None if isinstance(hung.kind, Unknown) else hung.kind
            jobs.append(_Job("set", hung.changed, kind, set_kind=kind))
    return jobs


@dataclass(frozen=True, slots=True)
class _Standing:
    """What the policy says of one task for all children of a cell."""

    window: Window | None
    found: tuple[LiveRule[AtOnce], ...]
    because: tuple[str, ...]
    rules: tuple[str, ...]
    sources: tuple[str, ...]


def _standing(
    book: RuleBook, situation: Situation, job: _Job, cell: Hashable
) -> _Standing | None:
    """Return what the policy says of a task; None when it says nothing."""
    key = ("due", cell, job.task, job.dressing, job.set_kind)
    known: _Standing | None = book.kept.get(key)
    if known is None:
        known = _worked_out(book, situation, job)
        keep(book.kept, key, known)
    return known if known.rules else None


def _worked_out(book: RuleBook, situation: Situation, job: _Job) -> _Standing:
    situation.dressing = job.dressing
    situation.set_kind = job.set_kind
    window = window_for(book, situation, job.task)
    found = tuple(
        live
        for live in book.at_once
        if live.rule.task == job.task and live.when.truth(situation) is True
    )
    rules: tuple[Rule, ...] = window.rules if window else ()
    rules = (*(live.rule for live in found), *rules)
    return _Standing(
        window,
        found,
        tuple(rule.because for rule in rules),
        tuple(rule.id for rule in rules),
        tuple(dict.fromkeys(rule.source for rule in rules)),
    )


def _task(standing: _Standing, situation: Situation, job: _Job) -> DueTask:
    since = None if isinstance(job.since, Unknown) else job.since
    reading = _by_finding(standing.found, situation, since)
    if reading is None:
        reading = _by_clock(standing.window, situation, job, since)
    state, not_before, due_at, overdue_since, why = reading
    return DueTask(
        task=job.task,
        label=TASKS[job.task],
        kind=job.kind,
        state=state,
        since=since,
        not_before=not_before,
        due_at=due_at,
        overdue_since=overdue_since,
        why=(*why, *standing.because),
        rules=standing.rules,
        sources=standing.sources,
    )


_Reading = tuple[
    str, datetime | None, datetime | None, datetime | None, tuple[str, ...]
]


def _by_finding(
    found: Sequence[LiveRule[AtOnce]], situation: Situation, since: datetime | None
) -> _Reading | None:
    """Return the task as due since the first finding; the clock no longer counts."""
    if not found:
        return None
    named = {
        word
        for live in found
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
    return "due", None, first, first, (f"Found {words}.",) if words else ()


def _by_clock(
    window: Window | None, situation: Situation, job: _Job, since: datetime | None
) -> _Reading:
    at, zone = situation.at, situation.zone
    if window is None or (window.not_before is None and window.not_after is None):
        return (
            "on-finding",
            None,
            None,
            None,
            ("No clock runs: look, and change it when it fails.",),
        )
    if since is None:
        reason = job.since.reason if isinstance(job.since, Unknown) else ""
        return (
            "due",
            None,
            at,
            None,
            (f"Nobody knows when this was last done ({reason}).",),
        )
    not_before = window.not_before.after(since, zone) if window.not_before else None
    due_at = window.not_after.after(since, zone) if window.not_after else None
    why: tuple[str, ...] = ()
    if not window.is_decided:
        why = ("Which limit applies is not known, so the shortest counts.",)
    if due_at is not None and at >= due_at:
        late = at > due_at
        return (
            "overdue" if late else "due",
            not_before,
            due_at,
            due_at if late else None,
            why,
        )
    if not_before is not None:
        if at < not_before:
            early = "Changing it now would be too early."
            return "too-early", not_before, due_at, None, (early, *why)
        return "may-now", not_before, due_at, None, why
    return "later", None, due_at, None, why
