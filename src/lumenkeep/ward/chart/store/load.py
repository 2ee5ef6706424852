"""Fill an empty chart in one go, as the demo does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction

from lumenkeep.errors import Fault, StoreError
from lumenkeep.ward.chart.models import Child, EntryRow, LinePlace, Ward
from lumenkeep.ward.chart.store.follow import tell_followers
from lumenkeep.ward.chart.store.policies import record_version
from lumenkeep.ward.chart.store.projection import project_all
from lumenkeep.ward.chart.store.rows import row_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.site.people import WardRecord

ROWS_AT_ONCE = 900


def load(
    wards: Sequence[WardRecord],
    children: Sequence[tuple[str, str]],
    lines: Sequence[tuple[str, str]],
    entries: Sequence[Entry],
    say: Callable[[str], None],
) -> int:
    """Write a whole hospital into an empty chart; return the lines now in place.

    Parameters
    ----------
    wards
        In the order shown; the first one's policy set is what was charted under.
    children
        Key and name of each.
    lines
        Key of each, and its child's.
    entries
        Numbered, corrections after what they correct; written as they stand.
    say
        Told in a few words how far it is.

    Raises
    ------
    StoreError
        ``chart-not-empty``: there are entries already, and their numbers count.
    """
    if EntryRow.objects.exists():
        raise StoreError(
            Fault(
                "chart-not-empty",
                "The chart already holds entries.",
                "chart",
                "load into a data folder of its own",
            )
        )
    with transaction.atomic():
        Ward.objects.bulk_create(
            Ward(w.key, w.name, str(w.zone), w.unit, w.policy_set, order)
            for order, w in enumerate(wards)
        )
        Child.objects.bulk_create(Child(key, name) for key, name in children)
        LinePlace.objects.bulk_create(LinePlace(key, child) for key, child in lines)
        first = min(entry.written_at for entry in entries)
        version = record_version(wards[0].policy_set, first)
        for start in range(0, len(entries), ROWS_AT_ONCE):
            EntryRow.objects.bulk_create(
                row_of(entry, version.pk)
                for entry in entries[start : start + ROWS_AT_ONCE]
            )
            say(f"{min(start + ROWS_AT_ONCE, len(entries))} of {len(entries)} entries")
        say("reading the lines as they stand now")
        placed = project_all()
        tell_followers([key for key, _ in lines])
        return placed
