"""Ports of the outcomes in memory: chart by day, book, infections."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.entry import Entry
from lumenkeep.ward.outcomes.outcomes_of import OutcomeSources
from lumenkeep.ward.outcomes.records import (
    Baseline,
    CountHour,
    InfectionEvent,
    ManualCount,
    NewBaseline,
    NewCount,
)
from lumenkeep.ward.site.people import WardRecord

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import tzinfo

SET_AT = datetime(2024, 1, 1, tzinfo=UTC)


@dataclass
class FakeDays:
    """Plays the chart by day; everything in it was charted on every day unless told."""

    told: list[Entry] = field(default_factory=list)
    silent: set[date] = field(default_factory=set)

    def entry(
        self,
        child: str,
        what: str,
        at: datetime,
        line: str | None = None,
        /,
        *,
        corrects: int | None = None,
        written_at: datetime | None = None,
        **body: Any,
    ) -> Entry:
        made = Entry(
            len(self.told) + 1, child, line, what, at, written_at or at, "s-1", "p",
            corrects, body,
        )  # fmt: skip
        self.told.append(made)
        return made

    def entries(self, wards: Collection[str], until: datetime) -> Sequence[Entry]:
        return [e for e in self.told if e.happened_at < until]

    def charted(
        self,
        wards: Collection[str],
        start: datetime,
        end: datetime,
        zone: tzinfo,
        known_at: datetime | None,
    ) -> Mapping[date, frozenset[str]]:
        everybody = frozenset(e.child for e in self.told)
        first = start.astimezone(zone).date()
        days = [first + timedelta(days=n) for n in range((end - start).days + 1)]
        return {on: everybody for on in days if on not in self.silent}


@dataclass
class FakeBook:
    """Plays the book."""

    held_hours: list[CountHour] = field(default_factory=list)
    held_counts: list[ManualCount] = field(default_factory=list)
    held_baselines: list[Baseline] = field(default_factory=list)

    def hours(self, wards: Collection[str]) -> Sequence[CountHour]:
        return [h for h in self.held_hours if h.ward in wards]

    def counts(
        self, wards: Collection[str], first: date, last: date
    ) -> Sequence[ManualCount]:
        return [
            c for c in self.held_counts if c.ward in wards and first <= c.on <= last
        ]

    def baselines(self, ward: str) -> Sequence[Baseline]:
        return [b for b in self.held_baselines if b.ward == ward]

    def set_hour(
        self, ward: str, starts_on: date, hour: time, unit: str, source: str, by: str
    ) -> CountHour:
        number = len(self.held_hours) + 1
        made = CountHour(number, ward, starts_on, hour, unit, source, by, SET_AT)
        self.held_hours.append(made)
        return made

    def add_count(self, count: NewCount, submission: str) -> ManualCount:
        number = len(self.held_counts) + 1
        made = ManualCount(**told_of(count), id=number, written_at=SET_AT)
        self.held_counts.append(made)
        return made

    def add_baseline(self, baseline: NewBaseline, submission: str) -> Baseline:
        number = len(self.held_baselines) + 1
        made = Baseline(**told_of(baseline), id=number, written_at=SET_AT)
        self.held_baselines.append(made)
        return made


def told_of(new: NewCount | NewBaseline) -> dict[str, Any]:
    """Return what is about to be entered, by the names of its fields."""
    return {one.name: getattr(new, one.name) for one in fields(new)}


@dataclass
class FakeInfections:
    """Plays the infections."""

    held: list[InfectionEvent] = field(default_factory=list)

    def events(
        self, wards: Collection[str], first: date, last: date
    ) -> Sequence[InfectionEvent]:
        return [i for i in self.held if i.ward in wards and first <= i.on <= last]

    def infection(self, ward: str, on: date, **told: Any) -> None:
        standing: dict[str, Any] = {
            "counts": True, "is_barrier": False, "is_decided": True
        }  # fmt: skip
        key = f"i-{len(self.held) + 1}"
        self.held.append(InfectionEvent(key, ward, on, "LCBI-1", **(standing | told)))


WARD = WardRecord("kestrel", "Kestrel", UTC, "intensive-care", "quillmere")
OTHER = WardRecord("heron", "Heron", UTC, "ward", "quillmere")


@dataclass
class FakeOutcomes:
    """All the ports together, with the ward's hour at noon."""

    days: FakeDays = field(default_factory=FakeDays)
    book: FakeBook = field(default_factory=FakeBook)
    infections: FakeInfections = field(default_factory=FakeInfections)
    wards: tuple[WardRecord, ...] = (WARD, OTHER)

    def sources(self) -> OutcomeSources:
        return OutcomeSources(self.wards, self.days, self.book, self.infections)

    def noon(self, unit: str = "other") -> FakeOutcomes:
        for ward in self.wards:
            self.book.set_hour(
                ward.key, date(2020, 1, 1), time(12), unit, "a test", "s-1"
            )
        return self
