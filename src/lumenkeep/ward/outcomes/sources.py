"""Where outcomes come from beside what was entered: the chart by day, infections."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from django.db.models import Q
from django.urls import reverse

from lumenkeep.core.outcomes.daily_count import KINDS
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.store.children import ChildRepository
from lumenkeep.ward.chart.store.rows import entries_of
from lumenkeep.ward.infections.infection import CONFIRMED, OVERRIDDEN, Infection
from lumenkeep.ward.infections.infections_of import infections_in
from lumenkeep.ward.outcomes.records import InfectionEvent

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import date, datetime, tzinfo

    from django.db.models import QuerySet

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.site.people import WardRecord


class DayRepository:
    """Stays and lines in the database, and the days on which a child was charted."""

    def entries(self, wards: Collection[str], until: datetime) -> Sequence[Entry]:
        """Return stays, births, lines in and out, and withdrawals; one query.

        Of every child that ever lay on one of the wards, whatever happened before
        ``until`` (UTC).
        """
        rows = EntryRow.objects.filter(
            Q(kind__in=KINDS) | Q(kind="withdrawn", corrects__kind__in=KINDS),
            child__in=_children_of(wards),
            happened_at__lt=until,
        )
        return entries_of(rows)

    def charted(
        self,
        wards: Collection[str],
        start: datetime,
        end: datetime,
        zone: tzinfo,
        known_at: datetime | None,
    ) -> Mapping[date, frozenset[str]]:
        """Return by day, on the clock of ``zone``, the children charted that day.

        Entries written after ``known_at`` (UTC) are left out; one query.
        """
        rows = EntryRow.objects.filter(
            child__in=_children_of(wards), happened_at__gte=start, happened_at__lt=end
        )
        if known_at is not None:
            rows = rows.filter(written_at__lte=known_at)
        found: dict[date, set[str]] = defaultdict(set)
        for child, at in rows.values_list("child_id", "happened_at"):
            found[at.astimezone(zone).date()].add(child)
        return {on: frozenset(children) for on, children in found.items()}


def _children_of(wards: Collection[str]) -> QuerySet[EntryRow, Any]:
    """Return the children that ever lay on one of the wards."""
    stays = EntryRow.objects.filter(kind="stay", body__ward__in=list(wards))
    return stays.values("child_id")


DECIDED = (CONFIRMED, OVERRIDDEN)


class ChartInfections:
    """Infections determined from the chart, with what was decided.

    Parameters
    ----------
    hospital
        All wards: their zones tell the calendar days.
    """

    def __init__(self, hospital: Sequence[WardRecord]) -> None:
        self._hospital = hospital

    def events(
        self, wards: Collection[str], first: date, last: date
    ) -> Sequence[InfectionEvent]:
        """Return infections counted for these wards, or waiting there.

        Those with a date of event in these days, oldest first; two queries.
        """
        found = infections_in(ChildRepository(), self._hospital, None, first, last)
        events = [_event(infection) for infection in found]
        return [event for event in events if event.ward in wards]


def _event(infection: Infection) -> InfectionEvent:
    return InfectionEvent(
        str(infection.event),
        infection.ward or infection.lay_on or "",
        infection.on,
        "decided otherwise"
        if infection.status == OVERRIDDEN
        else infection.proposal.type,
        infection.is_clabsi,
        infection.is_barrier,
        infection.status in DECIDED,
        reverse("infection", args=[infection.event]),
        tuple(int(specimen[1:]) for specimen in infection.specimens),
    )
