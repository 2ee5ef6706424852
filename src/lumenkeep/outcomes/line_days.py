"""The count of line-days for eligibility, which is not the denominator's count.

It starts at first access in an inpatient location of this admission, runs on when a
line is replaced before a full day without any has passed, and ends with the line or
the admission.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.outcomes.timeline import Timeline, TrackedLine

if TYPE_CHECKING:
    from lumenkeep.outcomes.admissions import Admission
    from lumenkeep.outcomes.derivation import Steps
    from lumenkeep.outcomes.protocol import Protocol

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Counted:
    """One line's part of the count: its first and last day (None: still in)."""

    line: TrackedLine
    first: date
    last: date | None


@dataclass(frozen=True, slots=True)
class Count:
    """An unbroken count of line-days by one or more lines."""

    first: date
    last: date | None
    lines: tuple[Counted, ...]

    def line_day(self, day: date) -> int | None:
        """Return the line-day of ``day``; None outside the count."""
        if day < self.first or (self.last is not None and day > self.last):
            return None
        return (day - self.first).days + 1


def is_central(line: TrackedLine, protocol: Protocol) -> bool | None:
    """Whether a line is a central line; None where the tip's place is not known."""
    if line.kind in protocol.words["never_central"]:
        return False
    if line.kind in protocol.words["central_by_kind"]:
        return True
    return None if line.tip is None else line.tip in protocol.words["great_vessel"]


def is_port(line: TrackedLine, protocol: Protocol) -> bool:
    """Whether a line is an implanted port, whatever else its kind says."""
    return bool(set(line.kind.split("-")) & protocol.words["ports"])


def first_line_day(
    line: TrackedLine, admission: Admission, protocol: Protocol
) -> date | None:
    """Return line-day 1 of a line in an admission; None where no count starts.

    Placing a line is access to it (R4), so one placed in this admission counts from
    that day, however much later it was first entered; a port counts from its access
    alone. Access before the admission starts no count: it begins on hospital day 1.
    """
    start = None
    is_placed_here = (
        line.inserted is not None
        and not is_port(line, protocol)
        and admission.holds(line.inserted.day)
    )
    if is_placed_here and line.inserted is not None:
        start = line.inserted.day
    elif line.first_access is not None:
        start = max(line.first_access.day, admission.first)
    if start is None or not admission.holds(start):
        return None
    if line.removed is not None and line.removed.day < start:
        return None
    return start


def counts_of(
    timeline: Timeline, admission: Admission, protocol: Protocol
) -> tuple[Count, ...]:
    """Return the unbroken counts of line-days in an admission, in order."""
    parts = []
    for line in timeline.lines:
        first = first_line_day(line, admission, protocol)
        if first is not None and is_central(line, protocol):
            parts.append(Counted(line, first, _last_day(line, admission)))
    parts.sort(key=lambda part: part.first)
    counts: list[Count] = []
    for part in parts:
        if counts and _runs_on(counts[-1], part, admission, protocol):
            counts[-1] = _joined(counts[-1], part)
        else:
            counts.append(Count(part.first, part.last, (part,)))
    return tuple(counts)


def _last_day(line: TrackedLine, admission: Admission) -> date | None:
    known = [
        day
        for day in (admission.last, line.removed.day if line.removed else None)
        if day is not None
    ]
    return min(known) if known else None


def _runs_on(
    count: Count, part: Counted, admission: Admission, protocol: Protocol
) -> bool:
    if count.last is None:
        return True
    present = part.first
    if part.line.inserted is not None and not is_port(part.line, protocol):
        present = max(part.line.inserted.day, admission.first)
    without = (min(present, part.first) - count.last - ONE_DAY).days
    return without < protocol.count("days-without-line-that-reset")


def _joined(count: Count, part: Counted) -> Count:
    last = None
    if count.last is not None and part.last is not None:
        last = max(count.last, part.last)
    return Count(count.first, last, (*count.lines, part))


@dataclass(frozen=True, slots=True)
class LineVerdict:
    """Whether an eligible line was in on a day or the day before, and its line-day."""

    is_eligible: bool
    line_day: int | None


def judge_line(
    timeline: Timeline,
    admission: Admission,
    event_on: date,
    protocol: Protocol,
    steps: Steps,
) -> LineVerdict:
    """Return whether a line counts for an event, and say why."""
    needed = protocol.count("eligible-from-line-day")
    counts = counts_of(timeline, admission, protocol)
    for count in counts:
        today = count.line_day(event_on)
        earlier = count.line_day(event_on - protocol.days("after-removal"))
        evidence = [
            *(part.line for part in count.lines),
            f"line-day 1 on {count.first}",
        ]
        if today is not None or earlier is not None:
            _say_assumed(count, admission, steps)
        if today is not None:
            return _in_place(today, needed, count, evidence, event_on, steps)
        if earlier is not None and earlier >= needed:
            steps.because(
                "R6",
                f"The line was out, but in on the day before, line-day {earlier}: "
                "it still counts.",
                *evidence,
            )
            return LineVerdict(is_eligible=True, line_day=None)
    _say_why_none(timeline, admission, event_on, protocol, steps)
    return LineVerdict(is_eligible=False, line_day=None)


def _say_assumed(count: Count, admission: Admission, steps: Steps) -> None:
    """Say where the count begins on day 1 only because access came before it."""
    for part in count.lines:
        accessed = part.line.first_access
        if accessed is not None and accessed.day < admission.first:
            steps.missing(
                "R4",
                f"on which day line {part.line.id} was first accessed in an inpatient "
                f"location; its access on {accessed} came before, and hospital day 1 is "
                "taken.",
            )


def _in_place(
    today: int,
    needed: int,
    count: Count,
    evidence: list[object],
    event_on: date,
    steps: Steps,
) -> LineVerdict:
    if len(count.lines) > 1:
        steps.because("R7", "Several lines are one count of line-days.", *evidence)
    words = f"The date of event is line-day {today}"
    if today >= needed:
        steps.because("R5", f"{words}: the line is eligible.", *evidence)
        steps.otherwise(
            "R5",
            f"line-day 1 had been after {event_on - (needed - 1) * ONE_DAY}, "
            "no line would be eligible.",
        )
    else:
        steps.because("R5", f"{words}: no line is eligible yet.", *evidence)
        steps.otherwise(
            "R5",
            f"line-day 1 had been on or before {event_on - (needed - 1) * ONE_DAY}, "
            "the line would be eligible.",
        )
    return LineVerdict(today >= needed, today)


def _say_why_none(
    timeline: Timeline,
    admission: Admission,
    event_on: date,
    protocol: Protocol,
    steps: Steps,
) -> None:
    near = [
        line
        for line in timeline.lines
        if (line.arrived is None or line.arrived.day <= event_on)
        and (line.removed is None or line.removed.day >= admission.first)
    ]
    if not near:
        steps.because("R22", "No line was in during this admission.")
        return
    for line in near:
        central = is_central(line, protocol)
        start = first_line_day(line, admission, protocol)
        if central is None:
            steps.missing("R2", f"where the tip of line {line.id} lies.")
        elif not central:
            rule = "R3" if line.kind in protocol.words["never_central"] else "R2"
            steps.because(rule, "This line is no central line.", line)
        elif start is None and not line.access_is_told:
            steps.missing("R4", f"whether line {line.id} was accessed in this stay.")
        elif start is None:
            rule = "R8" if is_port(line, protocol) else "R4"
            steps.because(rule, "The line was not accessed.", line)
        else:
            steps.because(
                "R6",
                "On the date of event and the day before no line was in that had "
                f"reached line-day {protocol.count('eligible-from-line-day')}.",
                line,
            )
