"""What a use case that looks at children, not at lines, needs of the chart."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry


class ChildEntries(Protocol):
    """The append-only chart, child by child."""

    def entries_by_child(
        self,
        kinds: Collection[str],
        *,
        having: Collection[str] = (),
        wards: Collection[str] = (),
        since: datetime | None = None,
    ) -> Mapping[str, Sequence[Entry]]:
        """Return the entries of these kinds by child, corrected ones included.

        Parameters
        ----------
        kinds
            Ids of the registry; withdrawals are always among what is returned.
        having
            Leave out a child without an entry of one of these kinds; empty: none is.
        wards
            Leave out a child who never lay on one of these; empty: none is.
        since
            Leave out a child of whom nothing happened since (UTC) and who has no line
            in place; None: none is.

        Returns
        -------
        mapping
            In the order of writing; a bounded number of queries.
        """
        ...

    def entries_of_child(self, child: str) -> Sequence[Entry]:
        """Return every entry of a child and of its lines."""
        ...

    def child_of_entry(self, entry: int) -> str | None:
        """Return whose entry it is; None if there is none of that number."""
        ...

    def names(self, children: Collection[str]) -> Mapping[str, str]:
        """Return the names of children by key, for the screen only."""
        ...
