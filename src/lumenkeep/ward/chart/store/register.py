"""The register on Django: keys for children and lines, made with their first entries."""

from __future__ import annotations

from secrets import token_hex
from typing import TYPE_CHECKING

from django.db import DatabaseError, transaction

from lumenkeep.errors import Fault, StoreError
from lumenkeep.ward.chart.models import Child, LinePlace

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.register_records import Drafts
    from lumenkeep.ward.chart.store.repository import DjangoChart

KEY_BYTES = 5


class DjangoRegister:
    """Makes keys in the database that the chart writes to.

    Parameters
    ----------
    chart
        Writes the first entries, in the same transaction.
    """

    def __init__(self, chart: DjangoChart) -> None:
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
        """Make a line, and a child where there is none yet, and write the entries.

        Raises
        ------
        StoreError
            ``chart-not-written``, or as of `DjangoChart.append`; nothing was made.
        """
        try:
            with transaction.atomic():
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
        except DatabaseError as error:
            raise StoreError(
                Fault(
                    "chart-not-written",
                    "The chart could not be written; nothing of this was saved.",
                    "chart",
                    "send it again in a minute; if it fails again, write on paper and "
                    "call whoever runs the server",
                )
            ) from error
