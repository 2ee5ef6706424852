"""Between rows and values: entries, wards, staff."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lumenkeep.core.model.entry import Entry
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.site.people import StaffRecord, WardRecord

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.db.models import QuerySet

    from lumenkeep.ward.chart.models import StaffProfile, Ward

_FIELDS = (
    "id",
    "child_id",
    "line_id",
    "kind",
    "happened_at",
    "written_at",
    "by",
    "policy__set_id",
    "policy__version",
    "policy__digest",
    "corrects_id",
    "body",
)


def row_of(entry: Entry, policy: int) -> EntryRow:
    """Return an entry as a row of its own id, under the policy version of an id."""
    return EntryRow(
        id=entry.id,
        child_id=entry.child,
        line_id=entry.line,
        kind=entry.kind,
        happened_at=entry.happened_at,
        written_at=entry.written_at,
        by=entry.by,
        policy_id=policy,
        corrects_id=entry.corrects,
        body=dict(entry.body),
    )


@lru_cache(maxsize=64)
def zone_named(name: str) -> ZoneInfo:
    """Return a zone by name; the same object each time."""
    return ZoneInfo(name)


def entries_of(rows: QuerySet[EntryRow]) -> list[Entry]:
    """Return the entries of a query in the order of writing; one query."""
    return [
        Entry(id_, child, line, kind, happened, written, by,
              f"{set_id} {version} {digest}", corrects, body)
        for (
            id_, child, line, kind, happened, written, by,
            set_id, version, digest, corrects, body,
        ) in rows.order_by("id").values_list(*_FIELDS)
    ]  # fmt: skip


def ward_record(row: Ward) -> WardRecord:
    """Return a ward as the services know it."""
    return WardRecord(row.key, row.name, zone_named(row.zone), row.unit, row.policy_set)


def staff_records(rows: Iterable[StaffProfile]) -> list[StaffRecord]:
    """Return staff as the services know them."""
    return [
        StaffRecord(p.key, p.display_name, p.role, p.ward_id, p.glove or None)
        for p in rows
    ]
