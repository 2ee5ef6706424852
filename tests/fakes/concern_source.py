"""The source of concerns over a chart in memory: every line is worked out each time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tests.fakes.chart import FakeChart

from lumenkeep.core.model.place import place
from lumenkeep.ward.concerns.records import OpenLine

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry


@dataclass
class FakeConcernSource:
    """Plays the source port."""

    chart: FakeChart

    def open_lines(self, ward: str | None) -> Sequence[OpenLine]:
        lines = []
        for key, child in self.chart.lines.items():
            entries = self.chart.entries(key)
            where = place(entries).ward or ""
            if ward in (None, where):
                newest = max(entry.id for entry in entries)
                lines.append(OpenLine(key, child, child, where, newest))
        return lines

    def lines_of_period(
        self, ward: str, first: datetime, last: datetime
    ) -> Sequence[OpenLine]:
        return self.open_lines(None)

    def entries_of(self, lines: Collection[str]) -> Mapping[str, Sequence[Entry]]:
        return {key: self.chart.entries(key) for key in lines}
