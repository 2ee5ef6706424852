"""Hand a concern on, as at the end of a shift: somebody else is asked to take it on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.policy.watch_rules import WHO
from lumenkeep.ward.concerns.at_hand import NOTE, chart_act, open_concern
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.records import Chart, Policies
    from lumenkeep.ward.site.people import Clock, Staff, StaffRecord

TO = "to"


def hand_concern_on(
    chart: Chart,
    policies: Policies,
    staff: Staff,
    clock: Clock,
    *,
    line: str,
    concern: str,
    typed: Mapping[str, str],
    by: StaffRecord,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write to whom the concern goes.

    Parameters
    ----------
    typed
        ``to``: key of a person of the ward, or a role; ``note``: what they must know.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-no-such-concern``, ``chart-concern-closed``.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    now = clock.now()
    found = open_concern(chart, policies, line, concern, now)
    form = Typed(typed)
    people = [one.key for one in staff.people(found.line.ward.key)]
    to = form.word(TO, "Handed on to", (*people, *WHO), needed=True)
    note = form.text(NOTE, "What they must know", needed=True) or ""
    form.raise_faults()
    body = {"to": to, "note": note}
    return chart_act(chart, found, "concern-handed-on", now, by.key, body, submission)
