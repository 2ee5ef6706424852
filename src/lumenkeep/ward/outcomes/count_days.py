"""The denominators of a period from the chart: each day at the ward's own hour."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.daily_count import CountedDay, count_wards
from lumenkeep.core.outcomes.protocol import Protocol
from lumenkeep.core.outcomes.protocol_year import edition_for, protocol_year

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.ward.outcomes.records import CountHour
    from lumenkeep.ward.outcomes.repository import OutcomeRepository
    from lumenkeep.ward.outcomes.sources import DayRepository
    from lumenkeep.ward.site.people import WardRecord

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class ProtocolInUse:
    """The protocol year a period is counted by, and a caution where it is another's."""

    protocol: Protocol
    caution: str


def protocol_for(last: date) -> ProtocolInUse:
    """Return the protocol year of a period's last day, or the nearest one shipped."""
    asked = str(last.year)
    nearest = edition_for(last.year)
    if nearest == asked:
        return ProtocolInUse(protocol_year(asked), "")
    return ProtocolInUse(
        protocol_year(nearest),
        f"Counted by the rules of {nearest}; those of {asked} are not held here and "
        "are to be confirmed against the edition in force.",
    )


def days_between(first: date, last: date) -> tuple[date, ...]:
    """Return every day from ``first`` to ``last``, both included."""
    return tuple(first + n * ONE_DAY for n in range((last - first).days + 1))


def hour_on(hours: Sequence[CountHour], ward: str, on: date) -> CountHour | None:
    """Return what was set for a ward's count on a day; the entry made last wins."""
    held = [h for h in hours if h.ward == ward and h.starts_on <= on]
    return max(held, key=lambda h: (h.starts_on, h.id), default=None)


def count_days(
    chart: DayRepository,
    book: OutcomeRepository,
    wards: Sequence[WardRecord],
    first: date,
    last: date,
    at: datetime,
    *,
    known_at: datetime | None = None,
) -> Mapping[str, tuple[CountedDay, ...]]:
    """Return every day of a period, counted or missing, for each ward.

    Parameters
    ----------
    wards
        As many as are asked about; the queries do not grow with them.
    first, last
        Both included, on each ward's own calendar.
    at
        The present (UTC): later counts are still to come.
    known_at
        The chart as it was known then (UTC), with no entry written since.
    """
    if not wards:
        return {}
    keys = [ward.key for ward in wards]
    hours = book.hours(keys)
    days = days_between(first, last)
    instants = {
        ward.key: [(on, _instant(hours, ward, on)) for on in days] for ward in wards
    }
    found: dict[str, tuple[CountedDay, ...]] = {}
    entries = chart.entries(keys, min(at, _end_of(last, wards)))
    for zone in dict.fromkeys(ward.zone for ward in wards):
        here = [ward.key for ward in wards if ward.zone == zone]
        start = datetime.combine(first, datetime.min.time(), zone).astimezone(UTC)
        end = datetime.combine(last + ONE_DAY, datetime.min.time(), zone)
        charted = chart.charted(here, start, end.astimezone(UTC), zone, known_at)
        found |= count_wards(
            entries,
            {key: instants[key] for key in here},
            charted,
            protocol_for(last).protocol,
            zone,
            now=at,
            known_at=known_at,
        )
    return found


def _instant(hours: Sequence[CountHour], ward: WardRecord, on: date) -> datetime | None:
    held = hour_on(hours, ward.key, on)
    if held is None:
        return None
    return datetime.combine(on, held.hour, ward.zone).astimezone(UTC)


def _end_of(last: date, wards: Sequence[WardRecord]) -> datetime:
    ends = [
        datetime.combine(last + ONE_DAY, datetime.min.time(), ward.zone)
        for ward in wards
    ]
    return max(end.astimezone(UTC) for end in ends)
