"""The days of an infection drawn on one axis: window, timeframe, line-days, blood, signs.

A day is a column; positions are percent of the drawing's width, so that it scales with
the page. Everything drawn stands in the table of days too.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.model import infection_words as words
from lumenkeep.core.outcomes.admissions import admissions_of, belonging
from lumenkeep.core.outcomes.elsewhere import attribution_period
from lumenkeep.core.outcomes.line_days import counts_of
from lumenkeep.core.outcomes.line_spans import is_central
from lumenkeep.ward.infections.pages.words import SITES, short_day, span_words
from lumenkeep.ward.site.pages.shapes import AxisBar, AxisMark

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lumenkeep.core.outcomes.admissions import Admission
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.core.outcomes.timeline import Moment, Timeline, TrackedLine
    from lumenkeep.ward.infections.infection import Infection
    from lumenkeep.ward.infections.timeline_of_chart import Awaited, ChartTimeline

ONE_DAY = timedelta(days=1)
BEFORE, AFTER = 3 * ONE_DAY, ONE_DAY
MOST_DAYS = 45
HOURS = 24
TOP, LANE, BAR_BELOW, MARK_BELOW = 56, 52, 22, 32


@dataclass(frozen=True, slots=True)
class DayColumn:
    """A day of the axis: where its middle is (percent), and what it is called."""

    x: float
    edge: float
    number: str
    hospital_day: str
    is_event: bool
    is_first: bool


@dataclass(frozen=True, slots=True)
class Lane:
    """One row of the drawing."""

    label: str
    y: int
    bars: tuple[AxisBar, ...] = ()
    marks: tuple[AxisMark, ...] = ()

    @property
    def label_y(self) -> int:
        """Where its label stands (px)."""
        return self.y + 15

    @property
    def bar_y(self) -> int:
        """Where its bars begin (px)."""
        return self.y + BAR_BELOW

    @property
    def mark_y(self) -> int:
        """Where its marks stand (px)."""
        return self.y + MARK_BELOW


@dataclass(frozen=True, slots=True)
class DaysDrawing:
    """The drawing: its days, its lanes and its height (px)."""

    columns: tuple[DayColumn, ...]
    lanes: tuple[Lane, ...]
    event_x: float | None
    alt: str
    first: date
    last: date

    @property
    def height(self) -> int:
        """Height of the drawing (px)."""
        return TOP + LANE * len(self.lanes)


class _Axis:
    """From first to last day, both whole."""

    def __init__(self, first: date, last: date) -> None:
        self.first, self.last = first, last
        self.count = (last - first).days + 1

    def edge(self, day: date) -> float:
        """Return where a day begins (percent); beyond an end, the end."""
        share = (day - self.first).days / self.count
        return round(100 * min(1.0, max(0.0, share)), 2)

    def middle(self, day: date) -> float:
        """Return where the middle of a day is (percent)."""
        return round(100 * ((day - self.first).days + 0.5) / self.count, 2)

    def at(self, moment: Moment) -> float:
        """Return where a moment is (percent); the middle of the day without a time."""
        if not moment.has_clock:
            return self.middle(moment.day)
        hours = moment.clock.hour + moment.clock.minute / 60
        share = ((moment.day - self.first).days + hours / HOURS) / self.count
        return round(100 * share, 2)

    def holds(self, day: date) -> bool:
        """Whether a day is drawn."""
        return self.first <= day <= self.last

    def bar(self, first: date, last: date | None, look: str) -> AxisBar | None:
        """Return the span from ``first`` to ``last``, both whole; None where outside."""
        start, end = self.edge(first), self.edge((last or self.last) + ONE_DAY)
        return AxisBar(start, round(end - start, 2), look) if end > start else None


def draw_days(
    infection: Infection,
    charted: ChartTimeline,
    protocol: Protocol,
    names: Mapping[str, str],
) -> DaysDrawing:
    """Return the drawing of one infection.

    Parameters
    ----------
    names
        Lines and wards in words by key.
    """
    timeline, event = charted.timeline, infection.proposal
    axis = _axis(infection, timeline, protocol)
    home = belonging(admissions_of(timeline), infection.proposed_on, protocol)
    admission = home.admission
    found = [
        *_stays(axis, timeline, names),
        *_spans(axis, infection),
        *_line_days(axis, timeline, admission, protocol, names),
        *_elsewhere(axis, timeline, protocol),
        *_blood(axis, infection, timeline, charted.awaited),
        *_signs(axis, timeline),
    ]
    lanes = tuple(
        Lane(lane.label, TOP + LANE * place, lane.bars, lane.marks)
        for place, lane in enumerate(found)
    )
    event_x = axis.middle(event.event_on) if event.event_on else None
    alt = "; ".join(lane.label for lane in lanes)
    return DaysDrawing(
        _columns(axis, infection, admission),
        lanes,
        event_x,
        f"{alt}.",
        axis.first,
        axis.last,
    )


def _axis(infection: Infection, timeline: Timeline, protocol: Protocol) -> _Axis:
    """Return the days of the window and timeframe, or of the infection it belongs to."""
    event = infection.proposal
    day = infection.first_taken.day
    spans = [span for span in (event.window, event.repeat) if span is not None]
    if event.type == "secondary":
        admissions = admissions_of(timeline)
        for other in timeline.other_infections:
            low, high = attribution_period(other, admissions, protocol)
            if low <= day and (high is None or day <= high):
                spans.append((low, high or day))
    first = min([day, *(span[0] for span in spans)]) - BEFORE
    last = max([day, *(span[1] for span in spans)]) + AFTER
    return _Axis(first, min(last, first + MOST_DAYS * ONE_DAY))


def _columns(
    axis: _Axis, infection: Infection, admission: Admission | None
) -> tuple[DayColumn, ...]:
    days = [axis.first + n * ONE_DAY for n in range(axis.count)]
    return tuple(
        DayColumn(
            axis.middle(day),
            axis.edge(day),
            short_day(day) if day.day == 1 else str(day.day),
            str(admission.number(day)) if admission else "",
            day == infection.proposal.event_on,
            place == 0,
        )
        for place, day in enumerate(days)
    )


def _lane(
    label: str, bars: Iterable[AxisBar | None] = (), marks: Iterable[AxisMark] = ()
) -> Lane:
    return Lane(label, 0, tuple(bar for bar in bars if bar), tuple(marks))


def _stays(axis: _Axis, timeline: Timeline, names: Mapping[str, str]) -> Iterator[Lane]:
    seen = [
        stay
        for stay in timeline.stays
        if stay.start.day <= axis.last
        and (stay.end is None or stay.end.day >= axis.first)
    ]
    if not seen:
        return
    bars = []
    for number, stay in enumerate(seen):
        start = axis.at(stay.start) if axis.holds(stay.start.day) else 0.0
        end = 100.0
        if stay.end is not None and axis.holds(stay.end.day):
            end = axis.at(stay.end)
        bars.append(
            AxisBar(
                start, round(end - start, 2), "stay" if number % 2 == 0 else "stay-b"
            )
        )
    places = dict.fromkeys(names.get(stay.location, stay.location) for stay in seen)
    yield _lane("Lay on " + ", then ".join(places), bars)


def _spans(axis: _Axis, infection: Infection) -> Iterator[Lane]:
    event = infection.proposal
    if event.window is not None:
        yield _lane(
            f"Infection window, {span_words(event.window)}",
            [axis.bar(*event.window, "window")],
        )
    if event.repeat is not None:
        yield _lane(
            f"Repeat timeframe, {span_words(event.repeat)}",
            [axis.bar(*event.repeat, "repeat")],
        )


def _line_days(
    axis: _Axis,
    timeline: Timeline,
    admission: Admission | None,
    protocol: Protocol,
    names: Mapping[str, str],
) -> Iterator[Lane]:
    if admission is None:
        return
    needed = protocol.count("eligible-from-line-day")
    shown = set()
    for count in counts_of(timeline, admission, protocol):
        eligible = count.first + (needed - 1) * ONE_DAY
        last = count.last
        early = eligible - ONE_DAY if last is None else min(last, eligible - ONE_DAY)
        bars = [axis.bar(count.first, early, "line-early")]
        if last is None or last >= eligible:
            bars.append(axis.bar(eligible, last, "line-eligible"))
        shown |= {part.line.id for part in count.lines}
        if any(bars):
            lines = dict.fromkeys(names.get(p.line.id, "line") for p in count.lines)
            first = short_day(count.first)
            yield _lane(f"{', '.join(lines)}: line-day 1 on {first}", bars)
    for line in timeline.lines:
        if line.id not in shown and line.inserted is not None:
            yield from _uncounted(axis, line, line.inserted.day, protocol, names)


def _uncounted(
    axis: _Axis,
    line: TrackedLine,
    inserted: date,
    protocol: Protocol,
    names: Mapping[str, str],
) -> Iterator[Lane]:
    """Draw a line that counts for nothing, or of which that is not known."""
    central = is_central(line, protocol)
    why, look = "not used in this stay, as charted", "line-unknown"
    if central is None:
        why = "where its tip lies is not charted"
    elif not central:
        why, look = "no central line", "line-other"
    bar = axis.bar(inserted, line.removed.day if line.removed else None, look)
    if bar is not None:
        yield _lane(f"{names.get(line.id, 'Line')}: {why}", [bar])


def _elsewhere(axis: _Axis, timeline: Timeline, protocol: Protocol) -> Iterator[Lane]:
    for other in timeline.other_infections:
        low, high = attribution_period(other, admissions_of(timeline), protocol)
        bar = axis.bar(low, high, "elsewhere")
        if bar is None:
            continue
        marks = []
        if axis.holds(other.event_on):
            marks = [AxisMark(axis.middle(other.event_on), "other-event")]
        site = SITES.get(other.kind, other.kind)
        yield _lane(
            f"{site[:1].upper()}{site[1:]}: takes blood of these days", [bar], marks
        )


def _blood(
    axis: _Axis,
    infection: Infection,
    timeline: Timeline,
    awaited: Iterable[Awaited],
) -> Iterator[Lane]:
    marks = []
    for specimen in timeline.specimens:
        is_seen = specimen.source == "blood" and specimen.result_is_told
        if not is_seen or not axis.holds(specimen.at.day):
            continue
        look = "blood-none"
        if specimen.organisms:
            look = "blood" if specimen.id in infection.specimens else "blood-other"
        marks.append(AxisMark(axis.at(specimen.at), look))
    marks += [
        AxisMark(axis.at(one.at), "blood-awaited")
        for one in awaited
        if one.source == "blood" and axis.holds(one.at.day)
    ]
    yield _lane("Blood taken", (), marks)


def _signs(axis: _Axis, timeline: Timeline) -> Iterator[Lane]:
    signs = [sign for sign in timeline.signs if axis.holds(sign.at.day)]
    if signs:
        kinds = dict.fromkeys(words.SIGNS.get(s.kind, s.kind).lower() for s in signs)
        marks = [AxisMark(axis.at(sign.at), "sign") for sign in signs]
        yield _lane(f"Signs: {', '.join(kinds)}", (), marks)
    counts = [count for count in timeline.counts if axis.holds(count.at.day)]
    if counts:
        marks = [AxisMark(axis.at(count.at), "count") for count in counts]
        kinds = dict.fromkeys(words.COUNTS.get(c.kind, c.kind).lower() for c in counts)
        yield _lane(f"Counts: {', '.join(kinds)}", (), marks)
