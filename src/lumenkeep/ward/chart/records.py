"""What the use cases need from outside: the chart, and the policies in force.

Adapters implement these; tests use fakes. Nothing here knows of a database.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol

from lumenkeep.core.entries import LineState

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.site.people import WardRecord


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

    def beds_in(self, ward: str) -> Sequence[tuple[str, str]]:
        """Return bed and child of each line now in place on a ward; one query."""
        ...

    def line(self, key: str) -> LineRecord | None:
        """Return one line, in place or removed; None if there is none of that key."""
        ...

    def entries(self, line: str) -> Sequence[Entry]:
        """Return every entry of the line and of its child, corrected ones included."""
        ...

    def append(
        self,
        drafts: Sequence[Draft],
        policy: str,
        *,
        ward: str | None = None,
        submission: str | None = None,
    ) -> Sequence[Entry]:
        """Write entries, all or none, and return them as written.

        Parameters
        ----------
        drafts
            Of one form or message.
        policy
            Name of the ward's policy set; its version is recorded with each entry.
        ward
            Key of the ward; a version approved for it goes before the set it names.
        submission
            Key of the form that was sent. A key that was written before writes
            nothing, and the entries of that time are returned.

        Raises
        ------
        StoreError
            Nothing was written.
        """
        ...

    def written(self, submission: str | None) -> Sequence[Entry]:
        """Return what was written for a form's key; nothing for None or a new key.

        Raises
        ------
        StoreError
            ``chart-sent-otherwise``: the same form was written when it said another
            thing.
        """
        ...

    def newest_entry(self) -> int:
        """Return the id of the newest entry on any ward; 0 when there is none."""
        ...


class Policies(Protocol):
    """The policy sets of the wards, as they are and as they were."""

    def in_force(self, name: str, ward: str | None = None) -> Policy:
        """Return the set that is in force now.

        Parameters
        ----------
        name
            The set that the ward names.
        ward
            Key of the ward; a version approved and in force there goes before it.

        Raises
        ------
        PolicyError
            The set is faulty, or there is none of that name.
        """
        ...

    def in_force_at(
        self, name: str, at: datetime, ward: str | None = None
    ) -> Policy | None:
        """Return the set that was in force at an instant (UTC), as `in_force`.

        None if none was on record.
        """
        ...
