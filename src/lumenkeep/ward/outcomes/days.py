"""The chart as the daily count reads it: two queries, whatever the number of wards."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from django.db.models import Q

from lumenkeep.core.outcomes.daily_count import KINDS
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.store.rows import entries_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import date, datetime, tzinfo

    from django.db.models import QuerySet

    from lumenkeep.core.model.entry import Entry


class DjangoDays:
    """Stays and lines in the database, and the days on which a child was charted."""

    def entries(self, wards: Collection[str], until: datetime) -> Sequence[Entry]:
        """Return stays, births, lines in and out, and withdrawals; one query."""
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
        """Return by day the children of whom anything was charted; one query."""
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
