"""A child whose chart tells an infection, for the tests of determination and decision."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from tests.fakes.chart import FakeChart, chart_with_a_line
from tests.fakes.children import FakeChildren
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.demo.hospital import WARDS
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.infections.infections_of import infections_in

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.infections.infection import Infection

FIRST, LAST = date(2026, 1, 1), date(2026, 12, 31)
LINE_ENTRY = 5
"""The insertion, ten days before noon of 25 November."""


@dataclass
class ToldChild:
    """The child ``c-1`` on Kestrel with a PICC, ten days in at noon of 25 November."""

    clock: FixedClock = field(default_factory=FixedClock)
    chart: FakeChart = field(init=False)

    def __post_init__(self) -> None:
        self.chart = chart_with_a_line(self.clock)

    @property
    def children(self) -> FakeChildren:
        return FakeChildren(self.chart)

    def write(
        self,
        kind: str,
        ago: timedelta,
        /,
        *,
        line: str | None = None,
        corrects: int | None = None,
        **body: Any,
    ) -> Entry:
        at: datetime = NOON - ago
        draft = Draft("c-1", line, kind, at, "s-1", body, corrects)
        return self.chart.append([draft], "quillmere")[0]

    def blood(self, ago: timedelta, draw: str, *grown: str, **more: Any) -> Entry:
        body = {
            "source": "blood", "draw": draw, "method": "culture",
            "result": "grew" if grown else "no-growth", "organisms": list(grown),
        }  # fmt: skip
        return self.write("specimen", ago, **{**body, **more})

    def tip(self, where: str = "great-vessel", days: int = 9) -> Entry:
        return self.write("line-tip", timedelta(days=days), line="l-1", tip=where)

    def infections(self, ward: str | None = None) -> tuple[Infection, ...]:
        return infections_in(self.children, WARDS, ward, FIRST, LAST)

    def only(self) -> Infection:
        (one,) = self.infections()
        return one
