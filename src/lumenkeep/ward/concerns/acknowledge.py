"""Take a concern on: from now on it is this person's until it is closed or handed on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.ward.concerns.at_hand import NOTE, chart_act, open_concern
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.records import Chart, Policies
    from lumenkeep.ward.site.people import Clock, StaffRecord


def acknowledge_concern(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    concern: str,
    typed: Mapping[str, str],
    by: StaffRecord,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write that somebody has taken the concern on.

    Parameters
    ----------
    concern
        Its key.
    typed
        ``note``, which may be left out.

    Raises
    ------
    ChartError
        ``chart-no-such-concern``, ``chart-concern-closed``, or the note is too long.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    now = clock.now()
    found = open_concern(chart, policies, line, concern, now)
    form = Typed(typed)
    note = form.text(NOTE, "Note") or ""
    form.raise_faults()
    return chart_act(
        chart, found, "concern-acknowledged", now, by.key, {"note": note}, submission
    )
