"""The register on Django: keys for children and lines, made with their first entries."""

from __future__ import annotations

from collections.abc import Callable
from secrets import token_hex
from typing import TYPE_CHECKING

from lumenkeep.ward.chart.models import Child, LinePlace
from lumenkeep.ward.chart.store.repository import NOT_WRITTEN
from lumenkeep.ward.site.written_once import all_or_nothing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.records import Draft
    from lumenkeep.ward.chart.store.repository import ChartRepository

KEY_BYTES = 5
Drafts = Callable[[str, str], "Sequence[Draft]"]
"""Takes the keys of child and line; returns the entries to write for them."""


class Register:
    """Makes keys for children and lines; a key says nothing of whom it stands for.

    Parameters
    ----------
    chart
        Writes the first entries, in the same transaction.
    """

    def __init__(self, chart: ChartRepository) -> None:
        self._chart = chart

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
            As of `ChartRepository.append`.

        Raises
        ------
        StoreError
            ``chart-not-written``, or as of `ChartRepository.append`; nothing was made.
        """
        with all_or_nothing(NOT_WRITTEN):
            if before := self._chart.written(submission):
                return before
            key = child
            if key is None:
                key = f"c-{token_hex(KEY_BYTES)}"
                Child.objects.create(key=key, display_name=name)
            line = f"l-{token_hex(KEY_BYTES)}"
            LinePlace.objects.create(key=line, child_id=key)
            return self._chart.append(
                drafts(key, line), policy, ward=ward, submission=submission
            )
