"""The section on care: what was changed in time, what late, what is overdue."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

from lumenkeep.outcomes.statistics.proportions import wilson
from lumenkeep.services.look_back.done import (
    BY_FINDING,
    IN_TIME,
    LATE,
    TASK_WORDS,
    UNKNOWN,
    Done,
    done_on,
    overdue_on,
)
from lumenkeep.services.look_back.parts import (
    LookFigure,
    LookSection,
    SharePicture,
    ShareRow,
)
from lumenkeep.services.look_back.words import lasting, share_with_limits

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.services.look_back.asked import Asked


def process_sections(asked: Asked) -> tuple[LookSection, ...]:
    """Return what was done in time on the ward, by the policy it was charted under."""
    done = done_on(asked)
    clocked = [one for one in done if one.verdict in (IN_TIME, LATE)]
    by_finding = [one for one in done if one.verdict == BY_FINDING]
    return (
        LookSection(
            "process",
            "Changes done in time",
            _sentence(done, clocked),
            (
                *_task_figures(clocked),
                *_late_figure(clocked),
                *_finding_figure(by_finding),
                _overdue_figure(asked),
            ),
            _picture(clocked),
            unknown=_unknown(done),
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


def _row(name: str, done: Sequence[Done]) -> ShareRow:
    count = sum(one.verdict == IN_TIME for one in done)
    limits = wilson(count, len(done))
    high = 1.0 if limits.high is None else limits.high
    return ShareRow(name, count, len(done), limits.low or 0.0, high)


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
        words = f"Half of them by more than {lasting(middle)}; the latest by {latest}."
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


def _overdue_figure(asked: Asked) -> LookFigure:
    overdue = overdue_on(asked)
    lines = {one.line for one in overdue}
    when = "now" if asked.is_running else "when the period ended"
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


def _picture(clocked: Sequence[Done]) -> tuple[SharePicture, ...]:
    if not clocked:
        return ()
    rows = tuple(_row(TASK_WORDS[task], group) for task, group in _by_task(clocked))
    return (
        SharePicture(
            "process-in-time", "Done in time, by what was changed", "changes in time",
            rows,
        ),
    )  # fmt: skip


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
    words = TASK_WORDS[task].lower()
    return f"{count:,} {words.removesuffix('s') if count == 1 else words}"
