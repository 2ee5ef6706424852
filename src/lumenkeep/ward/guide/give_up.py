"""Close a guide with which nothing was done, and say why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.guide.records import GIVEN_UP, Closing
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from lumenkeep.ward.guide.records import RunRecord, Runs
    from lumenkeep.ward.site.people import Clock, StaffRecord

REASON = "reason"


def give_up_guide(
    runs: Runs, clock: Clock, *, run: RunRecord, reason: str, by: StaffRecord
) -> Closing:
    """Close a run; given up twice, it stays as it was closed first.

    Raises
    ------
    ChartError
        ``chart-missing`` without a reason; ``guide-written`` where it is charted.
    """
    form = Typed({REASON: reason})
    why = form.text(REASON, "Why nothing was done", needed=True) or ""
    form.raise_faults()
    with runs.exclusively():
        now = runs.run(run.key)
        closing = now.closing if now is not None else None
        if closing is None:
            closing = Closing(GIVEN_UP, clock.now(), by.key, why)
            runs.close(run.key, closing)
            return closing
    if closing.how != GIVEN_UP:
        raise ChartError(
            [
                Fault(
                    "guide-written",
                    "What was done with this guide is on the chart already.",
                    "guide",
                    "open the line; take the entry back there if it is wrong",
                )
            ]
        )
    return closing
