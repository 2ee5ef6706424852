"""Keep which lines may have an open concern, beside the entries they follow from."""

from __future__ import annotations

import json
from hashlib import sha256
from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import standing, taken_back_at
from lumenkeep.errors import LumenkeepError
from lumenkeep.ward.chart.line_at_hand import RulesOfWard
from lumenkeep.ward.chart.models import Ward
from lumenkeep.ward.chart.store.policies import PoliciesInForce
from lumenkeep.ward.chart.store.projection import END_OF_TIME, entries_by_line
from lumenkeep.ward.chart.store.rows import ward_record
from lumenkeep.ward.concerns.listing import has_open, line_concerns
from lumenkeep.ward.concerns.models import OpenLineRow
from lumenkeep.ward.concerns.records import OpenLine

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.site.people import Clock, WardRecord

ROWS_AT_ONCE = 500


def keep_open_lines(lines: Collection[str], clock: Clock | None = None) -> None:
    """Work out anew which of these lines may have an open concern.

    A line that cannot be judged, because its ward's policy is faulty, is kept: nothing
    is lost, and whoever opens the list is told.
    """
    wards = {row.key: ward_record(row) for row in Ward.objects.all()}
    rules: dict[str, RulesOfWard | None] = {}
    policies = PoliciesInForce(clock)
    keys = sorted(lines)
    for start in range(0, len(keys), ROWS_AT_ONCE):
        some = keys[start : start + ROWS_AT_ONCE]
        rows = []
        for key, entries in entries_by_line(some).items():
            ward = last_ward(entries)
            record = wards.get(ward)
            if ward not in rules:
                rules[ward] = _rules(policies, record)
            if _may_be_open(key, entries, rules[ward], record):
                rows.append(
                    OpenLineRow(
                        line_id=key,
                        ward_id=ward if record else None,
                        last_entry=max(entry.id for entry in entries),
                        mark=mark_of(entries),
                    )
                )
        OpenLineRow.objects.filter(line__in=some).delete()
        OpenLineRow.objects.bulk_create(rows)


def mark_of(entries: Sequence[Entry]) -> str:
    """Return a digest of entries and of the policies they were written under."""
    told = [
        (e.id, e.kind, e.happened_at.isoformat(), e.written_at.isoformat(), e.by,
         e.policy, e.corrects, e.body)
        for e in sorted(entries, key=lambda e: e.id)
    ]  # fmt: skip
    return sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def last_ward(entries: Sequence[Entry]) -> str:
    """Return the last ward the child lay on; empty where no entry says one."""
    wards = [e.body.get("ward") for e in standing(entries) if e.kind == "stay"]
    return next((str(ward) for ward in reversed(wards) if ward), "")


def _rules(policies: PoliciesInForce, ward: WardRecord | None) -> RulesOfWard | None:
    if ward is None:
        return None
    try:
        return RulesOfWard(policies, ward)
    except LumenkeepError:
        return None


def _may_be_open(
    key: str,
    entries: Sequence[Entry],
    rules: RulesOfWard | None,
    ward: WardRecord | None,
) -> bool:
    is_seen = any(entry.line is not None for entry in standing(entries))
    if not is_seen or taken_back_at(entries) is not None:
        return False
    if rules is None or ward is None:
        return True
    line = OpenLine(key, entries[0].child, "", ward.key, 0)
    try:
        return has_open(line_concerns(line, entries, rules, ward), END_OF_TIME)
    except LumenkeepError:
        return True
