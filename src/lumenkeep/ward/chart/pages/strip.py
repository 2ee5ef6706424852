"""One line of the ward as a strip on the shared axis: past changes, worn, left, over.

Day marks stand at local midnights, so a day of 23 or 25 hours is drawn as long as it
is. Positions are percent of the strip's width; an instant beyond an end lies on it.

Positions are percent of the strip's width, so the drawing scales with the page while
its marks keep their shape.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, tzinfo
from itertools import pairwise
from typing import TYPE_CHECKING

from lumenkeep.core.model.facts import known_or_none
from lumenkeep.text.moments import capital, moment_in_words
from lumenkeep.ward.chart.pages.standing import (
    DRESSING,
    LineStanding,
    TaskWords,
    task_in_words,
)
from lumenkeep.ward.site.pages.shapes import AxisBar, AxisMark

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.due.task import DueTask
    from lumenkeep.core.entries import LineState
    from lumenkeep.errors import Fault
    from lumenkeep.ward.chart.records import LineRecord

DAYS_BACK = 7
DAYS_AHEAD = 4


@dataclass(frozen=True, slots=True)
class DayMark:
    """A local midnight on the axis: where (percent), how wide, and its name."""

    x: float
    width: float
    label: str
    is_today: bool


@dataclass(frozen=True, slots=True)
class TimeAxis:
    """From ``start`` to ``end`` (UTC) with the days between.

    Attributes
    ----------
    now
        The instant the upright line stands for (UTC).
    """

    start: datetime
    end: datetime
    now: datetime
    zone: tzinfo
    days: tuple[DayMark, ...]

    def x(self, at: datetime) -> float:
        """Return the position of an instant (percent, 0 to 100, two decimals)."""
        share = (at - self.start) / (self.end - self.start)
        return round(min(1.0, max(0.0, share)) * 100, 2)

    def holds(self, at: datetime) -> bool:
        """Return whether the instant lies on the axis, its ends included."""
        return self.start <= at <= self.end

    @property
    def now_x(self) -> float:
        """Where now is (percent)."""
        return self.x(self.now)


def axis_around(
    now: datetime,
    zone: tzinfo,
    *,
    days_back: int = DAYS_BACK,
    days_ahead: int = DAYS_AHEAD,
) -> TimeAxis:
    """Return the axis from some midnights before today to some after it.

    Parameters
    ----------
    now
        The present instant (UTC).
    zone
        The ward's zone.
    days_back, days_ahead
        Whole days shown before today and from today on (days).
    """
    today = now.astimezone(zone).date()
    midnights = [
        datetime.combine(today + timedelta(days=n), time(), zone).astimezone(UTC)
        for n in range(-days_back, days_ahead + 1)
    ]
    start, end = midnights[0], midnights[-1]
    whole = end - start
    days = tuple(
        DayMark(
            x=round((midnight - start) / whole * 100, 2),
            width=round((following - midnight) / whole * 100, 2),
            label=f"{midnight.astimezone(zone):%a}",
            is_today=n == days_back,
        )
        for n, (midnight, following) in enumerate(pairwise(midnights))
    )
    return TimeAxis(start, end, now, zone, days)


@dataclass(frozen=True, slots=True)
class StripDrawing:
    """What is drawn on the axis.

    Attributes
    ----------
    worn
        From the last change to now; None when nobody knows it.
    over
        From the moment the dressing fell due to now.
    left
        From now to the moment it falls due.
    others
        Where other tasks fall due (percent).
    """

    worn: AxisBar | None
    over: AxisBar | None
    left: AxisBar | None
    marks: tuple[AxisMark, ...]
    others: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """A line as the ward view shows it; ``alt`` says the drawing in words."""

    key: str
    group: str
    bed: str
    name: str
    line: str
    ward: str
    head: TaskWords
    also: str
    needs_hands: bool
    is_fresh: bool
    drawing: StripDrawing
    alt: str
    concern: str = ""
    shares_bed: str = ""


def draw_line(
    state: LineState, tasks: Sequence[DueTask], axis: TimeAxis
) -> StripDrawing:
    """Return what to draw for one line on the axis."""
    now = axis.now
    dressing = next((task for task in tasks if task.task == DRESSING), None)
    applied = known_or_none(state.case.line.dressing.applied)
    worn = over = left = None
    if applied is not None and applied <= now:
        worn = _bar(axis, applied, now)
    if dressing is not None and dressing.is_now:
        since = dressing.overdue_since or dressing.due_at
        if since is not None and since <= now:
            over = _bar(axis, since, now)
    elif dressing is not None and dressing.due_at is not None:
        left = _bar(axis, now, dressing.due_at)
    others = tuple(
        sorted(
            {
                axis.x(task.due_at)
                for task in tasks
                if task.task != DRESSING
                and task.due_at is not None
                and axis.holds(task.due_at)
            }
        )
    )
    return StripDrawing(worn, over, left, _marks(state, axis), others)


def _marks(state: LineState, axis: TimeAxis) -> tuple[AxisMark, ...]:
    marks = [
        AxisMark(axis.x(at), "planned" if because in ("planned", "") else "early")
        for at, because in state.changes
        if axis.start <= at <= axis.now
    ]
    inserted = known_or_none(state.case.line.inserted)
    if inserted is not None and axis.start <= inserted <= axis.now:
        marks.insert(0, AxisMark(axis.x(inserted), "inserted"))
    return tuple(marks)


def _bar(axis: TimeAxis, start: datetime, end: datetime) -> AxisBar:
    x = axis.x(start)
    return AxisBar(
        x,
        round(axis.x(end) - x, 2),
        open_start=start < axis.start,
        open_end=end > axis.end,
    )


def strip_of(
    record: LineRecord,
    tasks: Sequence[DueTask],
    standing: LineStanding,
    axis: TimeAxis,
    *,
    ward_name: str = "",
    is_fresh: bool = False,
    fault: Fault | None = None,
    concern: str = "",
    shares_bed: str = "",
) -> Strip:
    """Return a line as the ward view shows it.

    Parameters
    ----------
    ward_name
        Said beside the bed when lines of several wards stand together.
    is_fresh
        Whether something was charted since the page was last told.
    fault
        Why the policy gives no answer for this line.
    concern
        What somebody must act on, in a few words; empty where nothing.
    shares_bed
        That another child has the bed number too; empty where none has.
    """
    now, zone = axis.now, axis.zone
    if fault is not None:
        head = TaskWords("Line", "No answer", f"{fault.what} {capital(fault.mend)}.")
    elif standing.head is not None:
        head = task_in_words(standing.head, now, zone)
    else:
        head = TaskWords("Dressing", "No time set", "")
    return Strip(
        key=record.key,
        group=standing.group,
        bed=record.bed,
        name=record.child_name,
        line=record.words,
        ward=ward_name,
        head=head,
        also=_also(tasks, standing, axis),
        needs_hands=standing.needs_hands,
        is_fresh=is_fresh,
        drawing=draw_line(record.state, tasks, axis),
        alt=drawing_in_words(record.state, standing, axis),
        concern=concern,
        shares_bed=shares_bed,
    )


def _also(tasks: Sequence[DueTask], standing: LineStanding, axis: TimeAxis) -> str:
    """Return what else is due now, or else the next other thing to come."""
    rest = [task for task in tasks if task is not standing.head]
    due = [task.label for task in rest if task.is_now]
    if due:
        return "Also now: " + ", ".join(due)
    coming = [
        (task.due_at, task.label)
        for task in rest
        if task.due_at is not None and task.due_at > axis.now
    ]
    if not coming:
        return ""
    at, label = min(coming)
    joint = "" if label.endswith("?") else ","
    return f"Next: {label}{joint} {moment_in_words(at, axis.now, axis.zone)}"


def drawing_in_words(state: LineState, standing: LineStanding, axis: TimeAxis) -> str:
    """Return what a strip's drawing shows, for whoever does not see it."""
    now, zone = axis.now, axis.zone
    applied = known_or_none(state.case.line.dressing.applied)
    if state.case.line.dressing.is_off:
        parts = ["No dressing is on"]
    elif applied is not None:
        parts = [f"Dressing put on {moment_in_words(applied, now, zone)}"]
    else:
        parts = ["Nobody charted when the dressing was put on"]
    early = sum(because not in ("planned", "") for _, because in state.changes)
    if early:
        parts.append(f"{early} of {len(state.changes)} changes came early")
    dressing = standing.dressing
    if dressing is not None and dressing.due_at is not None:
        verb = "fell" if dressing.due_at <= now else "falls"
        parts.append(f"{verb} due {moment_in_words(dressing.due_at, now, zone)}")
    return "; ".join(parts) + "."
