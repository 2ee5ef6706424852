"""What is looked back on, and where it comes from; every section is built from this."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from itertools import compress
from typing import TYPE_CHECKING

from lumenkeep.core.entries import every_kind
from lumenkeep.core.model.chart import standing
from lumenkeep.core.model.entry import Entry
from lumenkeep.errors import Fault, InputError
from lumenkeep.ward.site.people import WardRecord
from lumenkeep.ward.versions.records import StepRecord

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    # They know of the tables; what is told of a ward need not.
    from lumenkeep.ward.chart.store.children import ChildRepository  # noqa: TC004
    from lumenkeep.ward.chart.store.policies import PoliciesInForce  # noqa: TC004

LONGEST = timedelta(days=3660)
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class LookBackSources:
    """Where a look-back comes from.

    Attributes
    ----------
    wards
        All wards of the hospital; their zones tell the calendar days.
    children, policies
        The chart, and the policy sets as they were.
    steps, versions
        What came into force where, and the name of each version by its id.
    more
        Sources of single parts, by the part's name; a part without its source is left
        out, and the look-back says so.
    """

    wards: Sequence[WardRecord]
    children: ChildRepository
    policies: PoliciesInForce
    steps: Sequence[StepRecord] = ()
    versions: Mapping[int, str] = field(default_factory=dict)
    more: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class LookBackRequest:
    """A ward and period, and the sources to ask.

    Attributes
    ----------
    first, last
        Both are in the period; calendar days of the ward.
    at
        The present (UTC): nothing later counts.
    """

    sources: LookBackSources
    ward: WardRecord
    first: date
    last: date
    at: datetime

    @cached_property
    def start(self) -> datetime:
        """When the period begins."""
        return datetime.combine(self.first, time(), self.ward.zone)

    @cached_property
    def end(self) -> datetime:
        """When the period ends, or the present where that is earlier."""
        end = datetime.combine(self.last + ONE_DAY, time(), self.ward.zone)
        return min(end, self.at.astimezone(self.ward.zone))

    @property
    def is_running(self) -> bool:
        """Whether the period is not over yet."""
        return self.end < datetime.combine(self.last + ONE_DAY, time(), self.ward.zone)

    def holds(self, entry: Entry) -> bool:
        """Return whether an entry happened in the period."""
        return self.start <= entry.happened_at < self.end

    @cached_property
    def chart(self) -> Mapping[str, Sequence[Entry]]:
        """Entries by child, of children who ever lay on the ward.

        Without those of whom nothing happened since the period began.
        """
        return self.sources.children.entries_by_child(
            tuple(every_kind()),
            wards=(self.ward.key,),
            since=self.start.astimezone(UTC),
        )

    @cached_property
    def lines(self) -> tuple[LineEntries, ...]:
        """Lines with their standing entries, oldest first."""
        found = []
        for entries in self.chart.values():
            kept = [e for e in standing(entries) if e.happened_at <= self.end]
            for key in dict.fromkeys(e.line for e in kept if e.line is not None):
                of_line = tuple(e for e in kept if e.line in (None, key))
                found.append(LineEntries(key, of_line, tuple(_wards_of(of_line))))
        return tuple(found)


def _wards_of(entries: Iterable[Entry]) -> Iterator[str | None]:
    """Yield the ward the child lay on when each entry happened."""
    ward = None
    for entry in entries:
        if entry.kind == "stay":
            ward = entry.body.get("ward")
        yield ward


@dataclass(frozen=True, slots=True)
class LineEntries:
    """A line, what stands of it and its child in order, and on which ward each was."""

    key: str
    entries: tuple[Entry, ...]
    wards: tuple[str | None, ...]

    def on_ward(self, ward: str) -> Iterator[Entry]:
        """Yield the entries that happened while the child lay on a ward."""
        return compress(self.entries, (one == ward for one in self.wards))


def asked(
    sources: LookBackSources, ward: str, first: date, last: date, at: datetime
) -> LookBackRequest:
    """Return what is asked, checked.

    Raises
    ------
    InputError
        ``look-back-no-ward``, ``look-back-bad-period``: every fault of what is asked.
    """
    found = next((one for one in sources.wards if one.key == ward), None)
    faults = []
    if found is None:
        names = ", ".join(one.key for one in sources.wards) or "none"
        faults.append(
            Fault(
                "look-back-no-ward",
                f"There is no ward '{ward}'.",
                "ward",
                f"choose one of: {names}",
            )
        )
    zone = found.zone if found else UTC
    is_to_come = first > at.astimezone(zone).date()
    if not first <= last or last - first > LONGEST or is_to_come:
        faults.append(
            Fault(
                "look-back-bad-period",
                "The first day must not lie after the last, nor ten years before it, "
                "nor be still to come.",
                "from, to",
                "write two days, the earlier one first, as in 2026-09-01",
            )
        )
    if found is None or faults:
        raise InputError(faults)
    return LookBackRequest(sources, found, first, last, at)
