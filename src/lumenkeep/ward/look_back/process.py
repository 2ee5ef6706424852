"""The section on care: what was changed in time, what late, what is overdue."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.proportions import wilson
from lumenkeep.drawing import Share
from lumenkeep.text.shares import share_with_limits
from lumenkeep.ward.look_back.done import (
    BY_FINDING,
    IN_TIME,
    LATE,
    ONE_OF,
    TASK_WORDS,
    UNKNOWN,
    Done,
    StillDue,
    done_on,
    still_due_on,
)
from lumenkeep.ward.look_back.parts import (
    LookFigure,
    LookPicture,
    LookSection,
    lasting,
    shares_drawing,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.ward.look_back.request import LookBackRequest


def process_sections(asked: LookBackRequest) -> tuple[LookSection, ...]:
    """Return what was done in time on the ward, by the policy it was charted under."""
    done = done_on(asked)
    clocked = [one for one in done if one.verdict in (IN_TIME, LATE)]
    by_finding = [one for one in done if one.verdict == BY_FINDING]
    still_due = still_due_on(asked)
    return (
        LookSection(
            "process",
            "Changes done in time",
            _sentence(done, clocked),
            (
                *_task_figures(clocked),
                *_late_figure(clocked),
                *_finding_figure(by_finding),
                _overdue_figure(asked, still_due),
            ),
            _picture(clocked),
            _again(clocked),
            (*_unknown(done), *_unknown_due(asked, still_due)),
        ),
    )


def _sentence(done: Sequence[Done], clocked: Sequence[Done]) -> str:
    if not done:
        return "No change of a dressing, connector, set or needle is charted."
    if not clocked:
        return "Of no change can be said whether it was in time."
    dressings = [one for one in clocked if one.task == "dressing"]
    told = dressings or clocked
    what = "planned dressing changes" if dressings else "changes"
    return f"{_in_time(told).capitalize()} {what} came in time, {_sure(told)}."


def _in_time(done: Sequence[Done]) -> str:
    count = sum(one.verdict == IN_TIME for one in done)
    return f"{count:,} of {len(done):,}"


def _sure(done: Sequence[Done]) -> str:
    row = _row("", done)
    return share_with_limits(row.done / row.of, row.low, row.high)


def _row(name: str, done: Sequence[Done]) -> Share:
    count = sum(one.verdict == IN_TIME for one in done)
    limits = wilson(count, len(done))
    high = 1.0 if limits.high is None else limits.high
    return Share(name, count, len(done), limits.low or 0.0, high)


def _by_task(clocked: Sequence[Done]) -> list[tuple[str, list[Done]]]:
    groups = [
        (task, [one for one in clocked if one.task == task]) for task in TASK_WORDS
    ]
    return [(task, group) for task, group in groups if group]


def _task_figures(clocked: Sequence[Done]) -> list[LookFigure]:
    return [
        LookFigure(
            f"in-time-{task}",
            f"{TASK_WORDS[task]} in time",
            _in_time(group),
            f"{_sure(group)}.",
            tuple(one.entry for one in group),
        )
        for task, group in _by_task(clocked)
    ]


def _late_figure(clocked: Sequence[Done]) -> list[LookFigure]:
    late = [one for one in clocked if one.late_by is not None]
    if not late:
        return []
    spans = sorted(one.late_by for one in late if one.late_by is not None)
    latest = lasting(spans[-1].total_seconds())
    middle = median(span.total_seconds() for span in spans)
    words = f"By {latest}."
    if len(late) > 1:
        words = f"Half of them by {lasting(middle)} or more; the latest by {latest}."
    return [
        LookFigure(
            "late",
            "Changes that came late",
            f"{len(late):,}",
            words,
            tuple(one.entry for one in late),
        )
    ]


def _finding_figure(by_finding: Sequence[Done]) -> list[LookFigure]:
    if not by_finding:
        return []
    return [
        LookFigure(
            "by-finding",
            "Dressings changed before their time",
            f"{len(by_finding):,}",
            "Because of a finding, or early for another reason; no clock is asked.",
            tuple(one.entry for one in by_finding),
        )
    ]


def _overdue_figure(asked: LookBackRequest, still_due: StillDue) -> LookFigure:
    overdue = still_due.overdue
    lines = {one.line for one in overdue}
    when = _when(asked)
    counts = [
        _counted(sum(one.task == task for one in overdue), task)
        for task in TASK_WORDS
        if any(one.task == task for one in overdue)
    ]
    return LookFigure(
        "overdue",
        f"Lines with something overdue {when}",
        f"{len(lines):,}",
        f"{', '.join(counts)}." if counts else "",
        tuple(dict.fromkeys(entry for one in overdue for entry in one.entries)),
    )


def _when(asked: LookBackRequest) -> str:
    return "now" if asked.is_running else "when the period ended"


def _again(clocked: Sequence[Done]) -> tuple[str, ...]:
    lines = {one.line for one in clocked}
    if len(clocked) <= len(lines):
        return ()
    of = f"{len(lines):,} {'line' if len(lines) == 1 else 'lines'}"
    told = (
        f"The limits take each change for one of its own; the {len(clocked):,} changes "
        f"here are those of {of}, so the truth is less sure than they say."
    )
    return (told,)


def _unknown_due(asked: LookBackRequest, still_due: StillDue) -> tuple[str, ...]:
    verb = "is" if asked.is_running else "was"
    return tuple(
        f"Whether all of it {verb} in time {_when(asked)} on {len(lines):,} "
        f"{'line' if len(lines) == 1 else 'lines'}: {why}."
        for why, lines in still_due.unknown.items()
    )


def _picture(clocked: Sequence[Done]) -> tuple[LookPicture, ...]:
    if not clocked:
        return ()
    shares = [_row(TASK_WORDS[task], group) for task, group in _by_task(clocked)]
    title = "Done in time, by what was changed"
    return (
        LookPicture(
            "process-in-time", title, shares_drawing, (shares, "changes in time")
        ),
    )


def _unknown(done: Sequence[Done]) -> tuple[str, ...]:
    reasons: dict[tuple[str, str], int] = {}
    for one in done:
        if one.verdict == UNKNOWN:
            key = one.task, one.why
            reasons[key] = reasons.get(key, 0) + 1
    return tuple(
        f"{_counted(count, task).capitalize()} cannot be judged: {why}."
        for (task, why), count in sorted(reasons.items())
    )


def _counted(count: int, task: str) -> str:
    words = ONE_OF[task]
    return f"{count:,} {words if count == 1 else f'{words}s'}"
