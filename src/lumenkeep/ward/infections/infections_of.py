"""Determine the infections of a child, or of a ward and period, from the chart."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import standing
from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.protocol_year import edition_for, protocol_year
from lumenkeep.ward.infections.infection import (
    Infection,
    InfectionDecision,
    asks_of,
    brief,
    decision_of,
    digest_of,
)
from lumenkeep.ward.infections.timeline_of_chart import (
    KINDS,
    ChartTimeline,
    timeline_of_chart,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import tzinfo

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.outcomes.derivation import Event
    from lumenkeep.core.outcomes.timeline import Moment, Timeline
    from lumenkeep.ward.chart.store.children import ChildRepository
    from lumenkeep.ward.site.people import WardRecord

BLOOD_SEEN = ("specimen",)
DECISION = "infection-decision"
BEFORE = timedelta(days=31)
"""Wider than any window: of an infection in a period something is charted since."""


def infections_in(
    children: ChildRepository,
    wards: Sequence[WardRecord],
    ward: str | None,
    first_day: date,
    last_day: date,
) -> tuple[Infection, ...]:
    """Return the infections of a ward, or of all (None), in a period.

    Those counted for the ward with a date in the period; where nothing is counted,
    those of children who lay on it when the blood was taken.

    Parameters
    ----------
    children
        The chart.
    wards
        All wards of the hospital: their zones tell the calendar days.
    first_day, last_day
        Both are in the period.

    Returns
    -------
    tuple of Infection
        In order of day. Proposals that nobody has decided on are among them, and so
        are those that ask for a fact: see `Infection.status`.
    """
    zones = {one.key: one.zone for one in wards}
    since = datetime.combine(max(first_day, date.min + BEFORE), time(), UTC) - BEFORE
    charts = children.entries_by_child(KINDS, having=BLOOD_SEEN, since=since)
    found = [
        infection
        for child, entries in charts.items()
        for infection in infections_of(child, entries, zones)
        if first_day <= infection.on <= last_day
        and ward in (None, infection.ward or infection.lay_on)
    ]
    return tuple(sorted(found, key=lambda one: (one.on, one.event)))


def infections_of(
    child: str, entries: Sequence[Entry], zones: dict[str, tzinfo]
) -> tuple[Infection, ...]:
    """Return the infections of one child, in order of collection.

    Parameters
    ----------
    child
        Key.
    entries
        Of the child and its lines: all, or those of the kinds in `KINDS`.
    zones
        The zone of each ward.
    """
    charted = timeline_of_chart(entries, zones, "")
    timeline = charted.timeline
    if not timeline.specimens:
        return ()
    decisions = [decision_of(e) for e in standing(entries) if _decides(e)]
    return tuple(
        _infection(child, event, joined, charted, edition, decisions)
        for event, joined, edition in _by_their_years(timeline)
    )


def _decides(entry: Entry) -> bool:
    """Return whether an entry is a decision that says what it is about, and what."""
    said = (entry.body.get(key) for key in ("event", "decision", "proposal"))
    return entry.kind == DECISION and None not in said


def _by_their_years(
    timeline: Timeline,
) -> Iterator[tuple[Event, tuple[Event, ...], str]]:
    """Yield each event with what joined it, by the protocol year of its first blood.

    A year's rules must not change what was decided by those of the year before, so
    blood of January leaves December alone. What joined over the turn of a year stays
    with the event that it joined.
    """
    years = sorted({edition_for(one.at.day.year) for one in timeline.specimens})
    taken = {one.id: one.at for one in timeline.specimens}
    told: set[str] = set()
    for year in years:
        events = determine(timeline, protocol_year(year))
        for event in events:
            first = event.specimens[0]
            is_later = edition_for(taken[first].day.year) > year
            if event.added_to is not None or is_later or told & {*event.specimens}:
                continue
            joined = tuple(one for one in events if one.added_to == first)
            told |= {name for one in (event, *joined) for name in one.specimens}
            yield event, joined, year


def _infection(
    child: str,
    event: Event,
    joined: tuple[Event, ...],
    charted: ChartTimeline,
    edition: str,
    decisions: Iterable[InfectionDecision],
) -> Infection:
    timeline = charted.timeline
    taken = charted.taken[event.specimens[0]]
    asks = asks_of(event)
    mine = {entry_of(name) for one in (event, *joined) for name in one.specimens}
    made = [one for one in decisions if one.event in mine]
    return Infection(
        child=child,
        event=entry_of(event.specimens[0]),
        proposed_on=event.event_on or taken.day,
        lay_on=lay_on(timeline, taken),
        proposal=event,
        joined=joined,
        edition=edition,
        digest=digest_of(brief(event, joined, edition), asks),
        asks=asks,
        last_decision=max(made, key=lambda one: one.entry, default=None),
        first_taken=taken,
    )


def entry_of(specimen: str) -> int:
    """Return the entry that first charted a specimen, from the specimen's id."""
    return int(specimen[1:])


def lay_on(timeline: Timeline, at: Moment) -> str | None:
    """Return the ward where the child lay at a moment; None on no ward."""
    there = [
        stay.location
        for stay in timeline.stays
        if stay.is_inpatient
        and stay.start <= at
        and (stay.end is None or at <= stay.end)
    ]
    return there[-1] if there else None
