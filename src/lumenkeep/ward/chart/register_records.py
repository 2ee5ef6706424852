"""What it takes to bring a child or a line on to the chart."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.records import Draft

Drafts = Callable[[str, str], "Sequence[Draft]"]
"""Takes the keys of child and line; returns the entries to write for them."""


class Register(Protocol):
    """Makes keys for children and lines; a key says nothing of whom it stands for."""

    def enter(
        self,
        child: str | None,
        name: str,
        drafts: Drafts,
        policy: str,
        *,
        ward: str,
        submission: str,
    ) -> Sequence[Entry]:
        """Make a line, and a child where ``child`` is None, and write the entries.

        All or nothing; a form sent twice makes nothing the second time, and the
        entries of the first time are returned.

        Parameters
        ----------
        name
            What the screens call a new child; goes nowhere else.
        policy, ward, submission
            As of `Chart.append`.

        Raises
        ------
        StoreError
            Nothing was made.
        """
        ...
