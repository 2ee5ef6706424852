"""The count of line-days for eligibility, which is not the denominator's count.

It starts at first access in an inpatient location of this admission, runs on when a
line is replaced before a full day without any has passed, and ends with the line or
the admission.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import combinations
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.derivation import UnknownFact
from lumenkeep.core.outcomes.line_spans import (
    CountedSpan,
    asked,
    counted,
    is_central,
    is_port,
    unknown_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

    from lumenkeep.core.outcomes.admissions import Admission
    from lumenkeep.core.outcomes.derivation import Steps
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.core.outcomes.timeline import Timeline, TrackedLine

    Fact = tuple[int, str]
    """A fact that is not known: the line's place in the timeline, and which."""

ONE_DAY = timedelta(days=1)
MOST_TRIED = 10
"""So many unknown facts of lines are tried in every combination."""


@dataclass(frozen=True, slots=True)
class LineDayCount:
    """An unbroken count of line-days by one or more lines."""

    first: date
    last: date | None
    lines: tuple[CountedSpan, ...]

    def line_day(self, day: date) -> int | None:
        """Return the line-day of ``day``; None outside the count."""
        if day < self.first or (self.last is not None and day > self.last):
            return None
        return (day - self.first).days + 1


def counts_of(
    timeline: Timeline,
    admission: Admission,
    protocol: Protocol,
    most: Collection[Fact] = (),
) -> tuple[LineDayCount, ...]:
    """Return the unbroken counts of line-days in an admission, in order.

    Parameters
    ----------
    most
        The unknown facts that are taken as they count most; others count least.
    """
    parts = []
    for place, line in enumerate(timeline.lines):
        mine = {fact for at, fact in most if at == place}
        part = counted(line, admission, protocol, mine, timeline.born)
        if part is not None:
            parts.append(part)
    parts.sort(key=lambda part: part.first)
    counts: list[LineDayCount] = []
    for part in parts:
        if counts and _runs_on(counts[-1], part, protocol):
            counts[-1] = _joined(counts[-1], part)
        else:
            counts.append(LineDayCount(part.first, part.last, (part,)))
    return tuple(counts)


def _runs_on(count: LineDayCount, part: CountedSpan, protocol: Protocol) -> bool:
    if count.last is None:
        return True
    without = (part.present - count.last - ONE_DAY).days
    return without < protocol.count("days-without-line-that-reset")


def _joined(count: LineDayCount, part: CountedSpan) -> LineDayCount:
    last = None
    if count.last is not None and part.last is not None:
        last = max(count.last, part.last)
    return LineDayCount(count.first, last, (*count.lines, part))


@dataclass(frozen=True, slots=True)
class LineVerdict:
    """Whether an eligible line was in on a day or the day before, and its line-day.

    ``is_eligible`` is None where a fact that is not known would decide: those are
    ``unknown``. ``is_day_open`` says that the line-day hangs on one.
    """

    is_eligible: bool | None
    line_day: int | None
    is_day_open: bool = False
    unknown: tuple[UnknownFact, ...] = ()


@dataclass(frozen=True, slots=True)
class _Found:
    """What one way of taking the facts comes to, and the count it comes from."""

    is_eligible: bool
    line_day: int | None
    count: LineDayCount | None = None


def judge_line(
    timeline: Timeline,
    admission: Admission,
    event_on: date,
    protocol: Protocol,
    steps: Steps,
) -> LineVerdict:
    """Return whether a line counts for an event, and say why."""
    facts = tuple(
        (place, fact)
        for place, line in enumerate(timeline.lines)
        for fact in unknown_of(line, protocol)
    )

    def found(most: Collection[Fact]) -> _Found:
        counts = counts_of(timeline, admission, protocol, most)
        return _found(counts, event_on, protocol)

    least, greatest = found(()), found(facts)
    is_day_open = least.line_day != greatest.line_day
    if least.is_eligible != greatest.is_eligible:
        unknown = tuple(
            _asked(timeline.lines[place], (place, fact), facts, found)
            for place, fact in _deciding(facts, found)
        )
        return LineVerdict(None, least.line_day, is_day_open, unknown)
    told = least if least.is_eligible else greatest
    bound = ""
    if is_day_open:
        bound = "at least " if told.is_eligible else "at most "
    _say(told, bound, timeline, admission, event_on, protocol, steps)
    return LineVerdict(told.is_eligible, told.line_day, is_day_open)


def _found(
    counts: tuple[LineDayCount, ...], event_on: date, protocol: Protocol
) -> _Found:
    needed = protocol.count("eligible-from-line-day")
    for count in counts:
        today = count.line_day(event_on)
        earlier = count.line_day(event_on - protocol.days("after-removal"))
        if today is not None:
            return _Found(today >= needed, today, count)
        if earlier is not None and earlier >= needed:
            return _Found(is_eligible=True, line_day=None, count=count)
    return _Found(is_eligible=False, line_day=None)


def _deciding(
    facts: tuple[Fact, ...], found: Callable[[Collection[Fact]], _Found]
) -> tuple[Fact, ...]:
    """Return the facts that change the answer, the others taken as they may be."""
    if len(facts) > MOST_TRIED:
        return facts

    def decides(fact: Fact) -> bool:
        rest = [one for one in facts if one != fact]
        return any(
            found(most).is_eligible != found((*most, fact)).is_eligible
            for size in range(len(rest) + 1)
            for most in combinations(rest, size)
        )

    return tuple(fact for fact in facts if decides(fact))


def _asked(
    line: TrackedLine,
    fact: Fact,
    facts: tuple[Fact, ...],
    found: Callable[[Collection[Fact]], _Found],
) -> UnknownFact:
    """Return a fact in words, with what each end of it would make of the event."""
    rest = tuple(one for one in facts if one != fact)
    ends = (
        (found(()).is_eligible, found(rest).is_eligible),
        (found((fact,)).is_eligible, found(facts).is_eligible),
    )
    unknown = asked(line, fact[1])
    ways = tuple(
        f"{short}: {WORDS[low if low == high else None]}"
        for (_, short), (low, high) in zip(unknown.answers, ends, strict=True)
    )
    return replace(unknown, ways=ways[::-1])


WORDS = {
    True: "a central-line infection",
    False: "an infection of the stay, not the line's",
    None: "it cannot be said yet",
}


def _say(
    found: _Found,
    bound: str,
    timeline: Timeline,
    admission: Admission,
    event_on: date,
    protocol: Protocol,
    steps: Steps,
) -> None:
    """Say why a line counts, or why none does."""
    count = found.count
    if count is None:
        _say_why_none(timeline, admission, event_on, protocol, steps)
        return
    _say_assumed(count, admission, steps)
    evidence = [
        *(part.line for part in count.lines),
        f"line-day 1 on {count.first}",
    ]
    if found.line_day is not None:
        _in_place(found, bound, count, evidence, event_on, protocol, steps)
        return
    earlier = count.line_day(event_on - protocol.days("after-removal"))
    steps.because(
        "R6",
        f"The line was out, but in on the day before, line-day {bound}{earlier}: "
        "it still counts.",
        *evidence,
    )


def _say_assumed(count: LineDayCount, admission: Admission, steps: Steps) -> None:
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
    found: _Found,
    bound: str,
    count: LineDayCount,
    evidence: list[object],
    event_on: date,
    protocol: Protocol,
    steps: Steps,
) -> None:
    if len(count.lines) > 1:
        steps.because("R7", "Several lines are one count of line-days.", *evidence)
    needed = protocol.count("eligible-from-line-day")
    border = event_on - (needed - 1) * ONE_DAY
    words = f"The date of event is line-day {bound}{found.line_day}"
    if found.is_eligible:
        steps.because("R5", f"{words}: the line is eligible.", *evidence)
        steps.otherwise(
            "R5", f"line-day 1 had been after {border}, no line would be eligible."
        )
    else:
        steps.because("R5", f"{words}: no line is eligible yet.", *evidence)
        steps.otherwise(
            "R5",
            f"line-day 1 had been on or before {border}, the line would be eligible.",
        )


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
    for line in near:
        for rule, text in _why_not(line, admission, protocol):
            steps.because(rule, text, line)


def _why_not(
    line: TrackedLine, admission: Admission, protocol: Protocol
) -> Iterator[tuple[str, str]]:
    """Yield why a line does not count, even with all that is not known in its favour."""
    if is_central(line, protocol) is False:
        is_by_kind = line.kind in protocol.words["never_central"]
        yield "R3" if is_by_kind else "R2", "This line is no central line."
        return
    if counted(line, admission, protocol, unknown_of(line, protocol)) is None:
        port = is_port(line, protocol)
        words = "The line was not accessed."
        placed = line.inserted
        if port and placed is not None and admission.holds(placed.day):
            words += (
                f" It was placed in this stay, on {placed}, and a port counts from its "
                "first access alone: placing it starts no count."
            )
        yield "R8" if port else "R4", words
        return
    needed = protocol.count("eligible-from-line-day")
    yield (
        "R6",
        (
            "On the date of event and the day before no line was in that had reached "
            f"line-day {needed}."
        ),
    )
