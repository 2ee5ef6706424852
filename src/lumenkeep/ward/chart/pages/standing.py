"""How urgent a line is: its rank on the ward, and its state in words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING

from lumenkeep.core.due.task import DueTask
from lumenkeep.core.model import words
from lumenkeep.text.moments import capital, moment_in_words, span_in_words

if TYPE_CHECKING:
    from collections.abc import Iterable

DRESSING = "dressing"
SHORT_REASON = 22
FAR = datetime.max.replace(tzinfo=UTC)

HELD = "held"
GROUPS = (
    (HELD, "Do not use the line"),
    ("no-answer", "The policy gives no answer: ask"),
    ("dressing-now", "Dressing to change now"),
    ("other-now", "Something else due now"),
    ("today", "Dressing due today"),
    ("tomorrow", "Dressing due tomorrow"),
    ("days", "Dressing due in the coming days"),
    ("fails", "Dressing changed only when it fails"),
)
GROUP_TITLES = dict(GROUPS)
NEEDS_HANDS = (HELD, "no-answer", "dressing-now", "other-now")
_RANK = {key: rank for rank, (key, _) in enumerate(GROUPS)}


@dataclass(frozen=True, slots=True)
class LineStanding:
    """Where a line stands among the others.

    Attributes
    ----------
    group
        One of the keys of `GROUPS`.
    head
        The task the strip speaks of first; None where nothing is ever due.
    dressing
        The dressing's task, if there is one.
    order
        Sorts the lines of a ward, the most overdue first.
    """

    group: str
    head: DueTask | None
    dressing: DueTask | None
    order: tuple[int, datetime]

    @property
    def needs_hands(self) -> bool:
        """Whether anything on the line is due now."""
        return self.group in NEEDS_HANDS


def standing_of(tasks: Iterable[DueTask], now: datetime, zone: tzinfo) -> LineStanding:
    """Return where a line stands, from its tasks (the most urgent first).

    The dressing leads: it is what a strip draws. Another task takes its place only
    when it is due now and the dressing is not.
    """
    tasks = tuple(tasks)
    dressing = next((task for task in tasks if task.task == DRESSING), None)
    if dressing is not None and dressing.is_now:
        since = dressing.overdue_since or dressing.due_at or now
        return _standing("dressing-now", dressing, dressing, since)
    other = next((task for task in tasks if task.is_now), None)
    if other is not None:
        since = other.overdue_since or other.due_at or now
        return _standing("other-now", other, dressing, since)
    head = dressing or (tasks[0] if tasks else None)
    if head is None or head.due_at is None:
        return _standing("fails", head, dressing, FAR)
    distance = (head.due_at.astimezone(zone).date() - now.astimezone(zone).date()).days
    group = {0: "today", 1: "tomorrow"}.get(distance, "days")
    return _standing(group, head, dressing, head.due_at)


def held(standing: LineStanding) -> LineStanding:
    """Return the standing of a line that must not be used: before all others."""
    return replace(standing, group=HELD, order=(_RANK[HELD], standing.order[1]))


def no_answer(now: datetime) -> LineStanding:
    """Return the standing of a line for which the policy gives no answer."""
    return _standing("no-answer", None, None, now)


def _standing(
    group: str, head: DueTask | None, dressing: DueTask | None, at: datetime
) -> LineStanding:
    return LineStanding(group, head, dressing, (_RANK[group], at))


@dataclass(frozen=True, slots=True)
class TaskWords:
    """A task as a strip and a list say it: the thing, its state, and the detail."""

    thing: str
    state: str
    detail: str


def task_in_words(task: DueTask, now: datetime, zone: tzinfo) -> TaskWords:
    """Return a task's state in words; what is due now says why."""
    first = task.why[0].rstrip(".") if task.why else ""
    is_short = task.state == "due" and 0 < len(first) <= SHORT_REASON
    if is_short:
        state = f"Now: {first[:1].lower()}{first[1:]}"
    else:
        state = _state(task, now, zone)
    return TaskWords(task_label(task), state, _detail(task, now, zone, is_short))


def task_label(task: DueTask) -> str:
    """Return the task's name, with what runs through the set where it is one."""
    kind = words.SET_KINDS.get(task.kind or "")
    return f"{task.label}: {kind.lower()}" if kind else task.label


def _state(task: DueTask, now: datetime, zone: tzinfo) -> str:
    if task.state == "overdue":
        since = task.overdue_since or task.due_at
        return f"Overdue {span_in_words(now - since)}" if since else "Overdue"
    if task.state == "due":
        return "Now"
    if task.state == "too-early" and task.not_before:
        return f"Not before {moment_in_words(task.not_before, now, zone)}"
    if task.due_at is None:
        return "When it fails" if task.state == "on-finding" else "No time set"
    left = f"n {span_in_words(task.due_at - now)}"
    return f"May be done now, due i{left}" if task.state == "may-now" else f"I{left}"


def _detail(task: DueTask, now: datetime, zone: tzinfo, why_is_said: bool) -> str:  # noqa: FBT001
    if why_is_said:
        since = task.overdue_since
        return f"Since {moment_in_words(since, now, zone)}" if since else ""
    if task.is_now or task.due_at is None:
        return capital(task.why[0]) if task.why else ""
    return capital(moment_in_words(task.due_at, now, zone))
