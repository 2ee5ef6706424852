"""The source of concerns in the database: which lines to work out, and their entries."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import Q

from lumenkeep.core.entries.kinds.of_concern import OF_CONCERN
from lumenkeep.ward.chart.models import EntryRow, LinePlace
from lumenkeep.ward.chart.store.projection import entries_by_line
from lumenkeep.ward.concerns.models import OpenLineRow
from lumenkeep.ward.concerns.records import OpenLine

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry

_CONCERN_KINDS = [kind.id for kind in OF_CONCERN]


class ConcernRepository:
    """Finds the lines of which concerns must be worked out."""

    def open_lines(self, ward: str | None) -> Sequence[OpenLine]:
        """Return every line of a ward, or of all (None), that may have an open one."""
        rows = OpenLineRow.objects.order_by("line_id")
        if ward is not None:
            rows = rows.filter(ward=ward)
        return [
            OpenLine(key, child, name, where or "", last, mark)
            for key, child, name, where, last, mark in rows.values_list(
                "line_id",
                "line__child_id",
                "line__child__display_name",
                "ward_id",
                "last_entry",
                "mark",
            )
        ]

    def lines_of_period(
        self, ward: str, first: datetime, last: datetime
    ) -> Sequence[OpenLine]:
        """Return the lines that may have had a concern on a ward in a period.

        Those of children who ever lay there and on which something was charted in it,
        or a concern since, or one is still open.
        """
        children = EntryRow.objects.filter(kind="stay", body__ward=ward)
        charted = EntryRow.objects.filter(
            Q(happened_at__gte=first, happened_at__lt=last)
            | Q(kind__in=_CONCERN_KINDS, happened_at__gte=first),
            line__isnull=False,
        )
        rows = LinePlace.objects.filter(child__in=children.values("child_id")).filter(
            Q(key__in=charted.values("line_id"))
            | Q(key__in=OpenLineRow.objects.values("line_id"))
        )
        return [
            OpenLine(key, child, name, ward, 0)
            for key, child, name in rows.order_by("key").values_list(
                "key", "child_id", "child__display_name"
            )
        ]

    def entries_of(self, lines: Collection[str]) -> Mapping[str, Sequence[Entry]]:
        """Return the entries of each line and its child; three queries."""
        return entries_by_line(sorted(lines))
