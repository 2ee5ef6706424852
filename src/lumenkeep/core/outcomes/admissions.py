"""Hospital days: which admission a day belongs to, its number, and the ward of an event.

There is no day 0: the day before hospital day 1 is day -1. An admission is a chain of
inpatient stays without a night elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import islice, takewhile
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.timeline import Moment, Timeline, WardStay

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.outcomes.protocol import Protocol

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Admission:
    """One admission: its inpatient stays, first and last day (None: still there)."""

    stays: tuple[WardStay, ...]
    first: date
    last: date | None

    def number(self, day: date) -> int:
        """Return the hospital day of ``day``; negative before, never 0."""
        passed = (day - self.first).days
        return passed + 1 if passed >= 0 else passed

    def holds(self, day: date, *, beyond: timedelta = timedelta()) -> bool:
        """Whether ``day`` lies in it, or up to ``beyond`` after its last day."""
        return self.first <= day and (self.last is None or day <= self.last + beyond)

    def locations_on(self, day: date) -> list[str]:
        """Return the inpatient locations of ``day`` in the order they were lived in."""
        return [stay.location for stay in self.stays if stay.covers(day)]


def supposed(
    timeline: Timeline, taken: Iterable[date], protocol: Protocol
) -> tuple[Admission, ...]:
    """Return the admissions that a child without stays may have had.

    Few of all days make a difference. It may begin before everything, or after each
    thing that an earlier beginning would take in: earlier blood, a condition
    documented, an infection elsewhere; blood is healthcare-associated only some days
    on. It may last, or end before a condition was documented or an endocarditis took
    the blood.
    """
    days = sorted(set(taken))
    if not days:
        return ()
    latest = days[-1] - protocol.days("poa-last-hospital-day")
    return tuple(
        Admission(
            (WardStay("", is_inpatient=True, start=Moment(first), end=None),),
            first,
            last,
        )
        for first in _firsts(timeline, days, protocol)
        for last in _lasts(timeline, days, protocol)
        if first <= latest and (last is None or first < last)
    )


def _firsts(timeline: Timeline, days: list[date], protocol: Protocol) -> list[date]:
    """Return first days; one lies further back than any window looks."""
    before = protocol.count("window-before")
    beyond = protocol.days("poa-days-before") + ONE_DAY
    passed = [day - back * ONE_DAY for day in days for back in range(before + 1)]
    found = {
        timeline.earliest - protocol.days("repeat-length"),
        *(day + beyond for day in passed),
        *(one.on + ONE_DAY for one in timeline.conditions),
        *(one.event_on + beyond for one in timeline.other_infections),
    }
    born = timeline.born  # nobody lies in a bed before birth
    return sorted({day if born is None else max(day, born) for day in found})


def _lasts(
    timeline: Timeline, days: list[date], protocol: Protocol
) -> list[date | None]:
    after = protocol.days("after-discharge") + ONE_DAY
    found = {one.on - after for one in timeline.conditions}
    if {one.kind for one in timeline.other_infections} & protocol.words["endocarditis"]:
        found |= {day - ONE_DAY for day in days}
    return [None, *sorted(found)]


@dataclass(frozen=True, slots=True)
class Belonging:
    """Which admission a day counts for, and which later ones have it on admission."""

    admission: Admission | None
    is_before: bool = False
    later: tuple[Admission, ...] = ()

    @property
    def next_admission(self) -> Admission | None:
        """The first later admission that has it on admission."""
        return self.later[0] if self.later else None

    def admissions(self) -> tuple[Admission | None, ...]:
        """Return every admission that the day counts for."""
        return (self.admission, *self.later)


def admissions_of(timeline: Timeline) -> tuple[Admission, ...]:
    """Return the admissions of a timeline, in order.

    Stays elsewhere in the hospital (theatre, emergency department) join two inpatient
    stays when no calendar day lies between.
    """
    chains: list[list[WardStay]] = []
    reached: date | None = None
    for stay in sorted(timeline.stays, key=lambda stay: stay.start):
        is_joined = bool(chains) and (reached is None or stay.start.day <= reached)
        if is_joined:
            chains[-1].append(stay)
        elif stay.is_inpatient:
            chains.append([stay])
        else:
            continue
        end = None if stay.end is None else stay.end.day
        both_known = is_joined and reached is not None and end is not None
        reached = max(reached, end) if both_known and reached and end else end
    return tuple(_admission(chain) for chain in chains)


def _admission(chain: list[WardStay]) -> Admission:
    stays = tuple(stay for stay in chain if stay.is_inpatient)
    ends = [stay.end.day for stay in stays if stay.end is not None]
    return Admission(
        stays, stays[0].start.day, max(ends) if len(ends) == len(stays) else None
    )


def belonging(
    admissions: tuple[Admission, ...], day: date, protocol: Protocol
) -> Belonging:
    """Return where an event on ``day`` belongs.

    The day of discharge and the day after count for the admission that ended, even
    where the child was admitted again; the later admission has it on admission.
    """
    before = protocol.days("poa-days-before")
    beyond = protocol.days("after-discharge")
    for place, admission in enumerate(admissions):
        is_before = admission.first - before <= day < admission.first
        if is_before or admission.holds(day, beyond=beyond):
            # After stays of a day, several admissions may begin within the days before.
            following = islice(admissions, place + 1, None)
            later = takewhile(lambda one: _is_poa(one, day, protocol), following)
            return Belonging(admission, is_before, tuple(later))
    return Belonging(None)


def _is_poa(admission: Admission, day: date, protocol: Protocol) -> bool:
    number = admission.number(day)
    low = -protocol.count("poa-days-before")
    return low <= number <= protocol.count("poa-last-hospital-day")


def is_present_on_admission(
    admission: Admission, day: date, protocol: Protocol
) -> bool:
    """Whether an event on ``day`` was there when the admission began."""
    return _is_poa(admission, day, protocol)


def attributed_location(
    admission: Admission, event_on: date, protocol: Protocol
) -> tuple[str | None, str | None]:
    """Return the location an event counts for, and the one the child lay in then.

    After a move on the date of event or the day before, that is the location left;
    after several, the first one of the day before.
    """
    day_before = event_on - protocol.days("transfer-days-before")
    before = admission.locations_on(day_before)
    there = admission.locations_on(event_on)
    left, there = before or there, there or before
    return (left[0], there[-1]) if left else (None, None)
