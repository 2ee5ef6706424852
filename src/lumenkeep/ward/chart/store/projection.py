"""`LineNow`: each line in place as its entries leave it, kept beside the entries.

Derived only. `project` folds some lines anew, `project_all` every line.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING

from django.db.models import Q

from lumenkeep.core.entries import LineState, line_state
from lumenkeep.core.model.chart import is_a_line, standing
from lumenkeep.core.model.place import Place, place
from lumenkeep.ward.chart.models import EntryRow, LineNow, LinePlace, Ward
from lumenkeep.ward.chart.store.rows import entries_of, zone_named
from lumenkeep.ward.chart.store.state_json import for_ward, to_json

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from lumenkeep.core.model.entry import Entry

END_OF_TIME = datetime.max.replace(tzinfo=UTC)
_ROWS_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Folded:
    """What a line's entries come to, in full."""

    state: LineState
    place: Place
    last_entry: int
    newest: datetime


def fold(entries: Sequence[Entry], zones: dict[str, tzinfo]) -> Folded | None:
    """Return what the entries of one line and its child come to.

    Returns
    -------
    Folded or None
        None when the entries tell of no line, or nothing of it stands.
    """
    counted = standing(entries)
    if not counted or not is_a_line(e for e in entries if e.line is not None):
        return None
    where = place(counted)
    zone = zones.get(where.ward or "", UTC)
    return Folded(
        line_state(entries, END_OF_TIME, zone),
        where,
        max(entry.id for entry in entries),
        max(entry.happened_at for entry in counted),
    )


def ward_zones() -> dict[str, tzinfo]:
    """Return the zone of every ward by key."""
    return {
        key: zone_named(zone) for key, zone in Ward.objects.values_list("key", "zone")
    }


def project_all() -> int:
    """Fold every line from its entries; return how many are in place."""
    LineNow.objects.all().delete()
    project(list(LinePlace.objects.values_list("key", flat=True)))
    return LineNow.objects.count()


def project(lines: Collection[str]) -> None:
    """Fold these lines anew and keep the result; removed ones leave the wards."""
    zones = ward_zones()
    keys = sorted(lines)
    for start in range(0, len(keys), _ROWS_AT_ONCE):
        some = keys[start : start + _ROWS_AT_ONCE]
        rows = [
            row
            for key, entries in entries_by_line(some).items()
            if (row := line_now(key, entries, zones)) is not None
        ]
        LineNow.objects.filter(line__in=some).delete()
        LineNow.objects.bulk_create(rows)


def entries_by_line(lines: Sequence[str]) -> dict[str, list[Entry]]:
    """Return for each line its entries and its child's, in two queries."""
    children = dict(
        LinePlace.objects.filter(key__in=lines).values_list("key", "child_id")
    )
    rows = EntryRow.objects.filter(
        Q(line__in=lines) | Q(line=None, child__in=set(children.values()))
    )
    of_line: dict[str, list[Entry]] = defaultdict(list)
    of_child: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries_of(rows):
        if entry.line is None:
            of_child[entry.child].append(entry)
        else:
            of_line[entry.line].append(entry)
    return {
        key: sorted(of_line[key] + of_child[child], key=lambda e: e.id)
        for key, child in children.items()
    }


def line_now(
    key: str, entries: Sequence[Entry], zones: dict[str, tzinfo]
) -> LineNow | None:
    """Return the row of a line in place; None for one removed or never inserted."""
    folded = fold(entries, zones)
    if folded is None or folded.state.removed_at is not None:
        return None
    where = folded.place
    return LineNow(
        line_id=key,
        ward_id=where.ward if where.ward in zones else None,
        bed=where.bed or "",
        side=where.side or "",
        state=to_json(for_ward(folded.state, folded.newest)),
        last_entry=folded.last_entry,
    )
