"""Small charts to look back on."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from tests.fakes.chart import FakeChart, ShippedPolicies, first_drafts
from tests.fakes.children import FakeChildren
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.demo.hospital import WARDS, ZONE
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.look_back.assemble import look_back
from lumenkeep.ward.look_back.request import LookBackSources

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.look_back.parts import LookBack

DAY = timedelta(days=1)
TODAY = NOON.astimezone(ZONE).date()


class Told:
    """A chart of one child with one line, ten days old, last changed four days ago."""

    def __init__(self, **told: Any) -> None:
        self.clock = FixedClock()
        self.chart = FakeChart(self.clock, {"l-1": "c-1"}, {"c-1": "Demo Sorrel"})
        self.chart.append(first_drafts(NOON, **told), "quillmere")
        self.on_record = True
        self.more: dict[str, object] = {}
        self.steps: Sequence[Any] = ()

    def add(
        self,
        kind: str,
        at: datetime,
        body: dict[str, Any] | None = None,
        corrects: int | None = None,
    ) -> Entry:
        child_alone = kind in ("stay", "weight")
        line = None if child_alone else "l-1"
        draft = Draft("c-1", line, kind, at, "s-1", body or {}, corrects)
        return self.chart.append([draft], "quillmere")[0]

    def changed(self, at: datetime, because: str = "planned") -> Entry:
        body = {"dressing": "transparent-chg-gel", "because": because}
        return self.add("dressing-change", at, body)

    def sources(self) -> LookBackSources:
        return LookBackSources(
            WARDS,
            FakeChildren(self.chart),
            ShippedPolicies(on_record=self.on_record),
            self.steps,
            {1: "quillmere 2026.1", 2: "quillmere 2026.2"},
            self.more,
        )

    def look(
        self,
        ward: str = "kestrel",
        first: date | None = None,
        last: date | None = None,
        at: datetime = NOON,
    ) -> LookBack:
        return look_back(
            self.sources(), ward, first or TODAY - 20 * DAY, last or TODAY, at
        )


def figure(found: LookBack, section: str, key: str) -> tuple[str, tuple[int, ...]]:
    """Return value and entries of a figure."""
    part = found.section(section)
    assert part is not None
    one = part.figure(key)
    assert one is not None, [f.key for f in part.figures]
    return one.value, one.entries


def midnight(day: date) -> datetime:
    """The start of a day on the demo hospital's clock, in UTC."""
    return datetime(day.year, day.month, day.day, tzinfo=ZONE).astimezone(UTC)
