"""What the use cases need from outside: the chart, and the clock.

Adapters implement these; tests use fakes. Nothing here knows of a database.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Any, Protocol

from lumenkeep.model.chart import LineState
from lumenkeep.model.entry import Entry


@dataclass(frozen=True, slots=True)
class WardRecord:
    """A ward: key, name, zone, kind of unit, and the policy set in force there."""

    key: str
    name: str
    zone: tzinfo
    unit: str
    policy_set: str


@dataclass(frozen=True, slots=True)
class LineRecord:
    """A line as the wards know it: where it lies, and its state folded from entries.

    ``child_name`` and ``bed`` are for the screen only; they never go into a message
    or a log. ``last_entry`` is the id of the newest entry the state includes.
    """

    key: str
    child: str
    child_name: str
    ward: str
    bed: str
    side: str | None
    state: LineState
    last_entry: int


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry about to be written."""

    child: str
    line: str | None
    kind: str
    happened_at: datetime
    by: str
    body: Mapping[str, Any]
    corrects: int | None = None


class Chart(Protocol):
    """The append-only chart."""

    def wards(self) -> Sequence[WardRecord]:
        """Return all wards, in the order shown."""
        ...

    def lines_in(self, ward: str | None) -> Sequence[LineRecord]:
        """Return the lines now in place on one ward, or on all (None).

        A bounded number of queries, whatever the number of lines.
        """
        ...

    def line(self, key: str) -> LineRecord | None:
        """Return one line, in place or removed; None if there is none of that key."""
        ...

    def entries(self, line: str) -> Sequence[Entry]:
        """Return every entry of the line and of its child, corrected ones included."""
        ...

    def append(self, drafts: Sequence[Draft], policy: str) -> Sequence[Entry]:
        """Write entries, all or none, and return them as written.

        Raises
        ------
        StoreError
            Nothing was written.
        """
        ...

    def newest_entry(self) -> int:
        """Return the id of the newest entry on any ward; 0 when there is none."""
        ...


class Clock(Protocol):
    """Tells the present instant (UTC)."""

    def now(self) -> datetime:
        """Return the present instant."""
        ...
