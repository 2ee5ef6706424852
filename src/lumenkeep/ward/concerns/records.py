"""What listing concerns needs from the store beside the chart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry


@dataclass(frozen=True, slots=True)
class OpenLine:
    """A line that may have an open concern, in place or not.

    ``ward`` is where its child lies, or lay last; ``last_entry`` the newest entry of
    line and child. ``mark`` changes with any of its entries; empty where it is not
    known. ``child_name`` is for the screen only.
    """

    key: str
    child: str
    child_name: str
    ward: str
    last_entry: int
    mark: str = ""


class ConcernSource(Protocol):
    """Finds the lines of which concerns must be worked out; keeps no concern.

    The database is one, and a look-back, which has read the chart already, another.
    """

    def open_lines(self, ward: str | None) -> Sequence[OpenLine]:
        """Return every line of a ward, or of all (None), that may have an open concern.

        Lines taken out and children who left are among them; one query.
        """
        ...

    def lines_of_period(
        self, ward: str, first: datetime, last: datetime
    ) -> Sequence[OpenLine]:
        """Return the lines that may have had a concern on a ward in a period.

        Parameters
        ----------
        first, last
            Instants (UTC); what happened at ``last`` is left out.
        """
        ...

    def entries_of(self, lines: Collection[str]) -> Mapping[str, Sequence[Entry]]:
        """Return the entries of each line and its child; a bounded number of queries."""
        ...
