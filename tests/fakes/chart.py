"""A chart in memory, and the shipped policies, for tests of the use cases."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from tests.fakes.clock import NOON, FixedClock

from lumenkeep.core.entries import line_state
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.place import place
from lumenkeep.core.policy import Policy, load_policy
from lumenkeep.demo.hospital import HERON, KESTREL, WREN
from lumenkeep.ward.chart.records import Draft, LineRecord
from lumenkeep.ward.site.people import WardRecord

END_OF_TIME = datetime.max.replace(tzinfo=UTC)


class ShippedPolicies:
    """Plays the policies port: nothing but what is shipped, ever."""

    def __init__(self, *, on_record: bool = True) -> None:
        self.on_record = on_record

    def in_force(self, name: str, ward: str | None = None) -> Policy:
        return load_policy(name)

    def in_force_at(
        self, name: str, at: datetime, ward: str | None = None
    ) -> Policy | None:
        return load_policy(name) if self.on_record else None


@dataclass
class FakeChart:
    """Plays the chart port."""

    clock: FixedClock
    lines: dict[str, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    written_entries: list[Entry] = field(default_factory=list)
    forms: dict[str, list[Entry]] = field(default_factory=dict)
    all_wards: Sequence[WardRecord] = (KESTREL, WREN, HERON)

    def wards(self) -> Sequence[WardRecord]:
        return self.all_wards

    def lines_in(self, ward: str | None) -> Sequence[LineRecord]:
        records = [r for key in self.lines if (r := self.line(key)) is not None]
        return [
            r for r in records if r.state.removed_at is None and ward in (None, r.ward)
        ]

    def beds_in(self, ward: str) -> Sequence[tuple[str, str]]:
        return [(record.bed, record.child) for record in self.lines_in(ward)]

    def line(self, key: str) -> LineRecord | None:
        entries = self.entries(key)
        if not any(e.kind == "line-inserted" for e in entries):
            return None
        where = place(entries)
        zones = {w.key: w.zone for w in self.all_wards}
        child = self.lines[key]
        return LineRecord(
            key,
            child,
            self.names.get(child, child),
            where.ward or "",
            where.bed or "",
            where.side,
            line_state(entries, END_OF_TIME, zones.get(where.ward or "", UTC)),
            max(e.id for e in entries),
        )

    def entries(self, line: str) -> Sequence[Entry]:
        child = self.lines.get(line)
        return [
            e
            for e in self.written_entries
            if e.line == line or (e.line is None and e.child == child)
        ]

    def written(self, submission: str | None) -> Sequence[Entry]:
        return self.forms.get(submission or "", [])

    def one_at_a_time(self) -> nullcontext[None]:
        return nullcontext()

    def append(
        self,
        drafts: Sequence[Draft],
        policy: str,
        *,
        ward: str | None = None,
        submission: str | None = None,
    ) -> Sequence[Entry]:
        if before := self.written(submission):
            return before
        now = self.clock.now()
        fresh = [
            Entry(
                len(self.written_entries) + number,
                d.child, d.line, d.kind, d.happened_at, now, d.by, policy,
                d.corrects, dict(d.body),
            )
            for number, d in enumerate(drafts, start=1)
        ]  # fmt: skip
        self.written_entries += fresh
        if submission:
            self.forms[submission] = fresh
        return fresh

    def newest_entry(self) -> int:
        return len(self.written_entries)


def first_drafts(
    now: datetime = NOON,
    *,
    child: str = "c-1",
    line: str = "l-1",
    ward: str = "kestrel",
    kind: str = "picc",
    site: str = "upper-arm",
    **inserted: Any,
) -> list[Draft]:
    """Return what puts a four-year-old with a ten-day-old line on a ward."""
    came = now - timedelta(days=10, hours=3)
    start = now - timedelta(days=10)
    born = now - timedelta(days=4 * 365 + 100)
    unit = {"kestrel": "intensive-care", "wren": "newborn-intensive-care"}
    body = {
        "kind": kind,
        "site": site,
        "side": "left",
        "lumens": 1,
        "external_length_mm": 20,
        "stitches": 0,
        "dressing": "transparent-chg-gel",
        **inserted,
    }
    stay = {"ward": ward, "bed": "04", "unit": unit.get(ward, "ward")}
    birth = {"born": born.isoformat(), "gestation": "39w0d"}
    return [
        Draft(child, None, "stay", came, "s-1", stay),
        Draft(child, None, "birth", came, "s-1", birth),
        Draft(child, None, "weight", came, "s-1", {"g": 16_400.0}),
        Draft(child, None, "sensitivities", came, "s-1", {"known": []}),
        Draft(child, line, "line-inserted", start, "s-1", body),
        Draft(
            child, line, "dressing-change", now - timedelta(days=4), "s-1",
            {"dressing": "transparent-chg-gel", "agent": "chlorhexidine-alcohol",
             "external_length_mm": 20.0, "stitches": 0, "skin": "intact",
             "because": "planned"},
        ),
    ]  # fmt: skip


def chart_with_a_line(clock: FixedClock, **told: Any) -> FakeChart:
    """Return a chart that holds the line ``l-1`` of the child ``c-1``."""
    chart = FakeChart(clock, {"l-1": "c-1"}, {"c-1": "Demo Sorrel"})
    now, clock.at = clock.at, clock.at - timedelta(days=1)
    chart.append(first_drafts(now, **told), "quillmere")
    clock.at = now
    return chart
