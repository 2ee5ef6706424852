"""The chart, child by child: their entries, names, and whose an entry is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import Q

from lumenkeep.ward.chart.models import Child, EntryRow, LineNow
from lumenkeep.ward.chart.store.rows import entries_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry


class ChildRepository:
    """The append-only chart in the database, child by child."""

    def entries_by_child(
        self,
        kinds: Collection[str],
        *,
        having: Collection[str] = (),
        wards: Collection[str] = (),
        since: datetime | None = None,
    ) -> Mapping[str, Sequence[Entry]]:
        """Return the entries of these kinds by child, corrected ones included.

        Parameters
        ----------
        kinds
            Ids of the registry; withdrawals are always among what is returned.
        having
            Leave out a child without an entry of one of these kinds; empty: none is.
        wards
            Leave out a child who never lay on one of these; empty: none is.
        since
            Leave out a child of whom nothing happened since (UTC) and who has no line
            in place; None: none is.

        Returns
        -------
        mapping
            In the order of writing; one query.
        """
        rows = EntryRow.objects.filter(kind__in={*kinds, "withdrawn"})
        every = EntryRow.objects.all()
        if having:
            found = every.filter(kind__in=set(having)).values("child")
            rows = rows.filter(child__in=found)
        if wards:
            stays = every.filter(kind="stay", body__ward__in=list(wards))
            rows = rows.filter(child__in=stays.values("child"))
        if since is not None:
            later = every.filter(happened_at__gte=since).values("child")
            in_place = LineNow.objects.values("line__child")
            rows = rows.filter(Q(child__in=later) | Q(child__in=in_place))
        by_child: dict[str, list[Entry]] = {}
        for entry in entries_of(rows):
            by_child.setdefault(entry.child, []).append(entry)
        return by_child

    def entries_of_child(self, child: str) -> Sequence[Entry]:
        """Return every entry of a child and of its lines; one query."""
        return entries_of(EntryRow.objects.filter(child=child))

    def child_of_entry(self, entry: int) -> str | None:
        """Return whose entry it is; None if there is none of that number."""
        return EntryRow.objects.filter(pk=entry).values_list("child", flat=True).first()

    def names(self, children: Collection[str]) -> Mapping[str, str]:
        """Return the names of children by key, for the screen only; one query."""
        rows = Child.objects.filter(key__in=set(children))
        return dict(rows.values_list("key", "display_name"))
