"""The chart in memory, child by child."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tests.fakes.chart import FakeChart

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry


@dataclass
class FakeChildren:
    """Plays the port of children over a chart in memory."""

    chart: FakeChart

    def entries_by_child(
        self,
        kinds: Collection[str],
        *,
        having: Collection[str] = (),
        wards: Collection[str] = (),
        since: datetime | None = None,
    ) -> Mapping[str, Sequence[Entry]]:
        of_child: dict[str, list[Entry]] = {}
        for entry in self.chart.written_entries:
            of_child.setdefault(entry.child, []).append(entry)
        return {
            child: [e for e in entries if e.kind in {*kinds, "withdrawn"}]
            for child, entries in of_child.items()
            if (not having or any(e.kind in having for e in entries))
            and (not wards or any(e.body.get("ward") in wards for e in entries))
            and (since is None or _is_there_since(entries, since))
        }

    def entries_of_child(self, child: str) -> Sequence[Entry]:
        return [e for e in self.chart.written_entries if e.child == child]

    def child_of_entry(self, entry: int) -> str | None:
        return next(
            (e.child for e in self.chart.written_entries if e.id == entry), None
        )

    def names(self, children: Collection[str]) -> Mapping[str, str]:
        return {child: self.chart.names.get(child, child) for child in children}


def _is_there_since(entries: Sequence[Entry], since: datetime) -> bool:
    is_out = any(e.kind == "line-removed" for e in entries)
    return not is_out or any(e.happened_at >= since for e in entries)
