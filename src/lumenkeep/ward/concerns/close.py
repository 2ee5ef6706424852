"""Close a concern with its outcome; nothing else ever closes one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.entries.kinds.of_concern import OUTCOMES
from lumenkeep.core.watch.concerns_life import TIP_CONFIRMED
from lumenkeep.ward.concerns.at_hand import NOTE, chart_act, open_concern
from lumenkeep.ward.site.may import may_close
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.watch.concerns import Concern
    from lumenkeep.ward.chart.records import Chart, Policies
    from lumenkeep.ward.site.people import Clock, StaffRecord

OUTCOME = "outcome"


def outcomes_for(concern: Concern) -> dict[str, str]:
    """Return the outcomes a concern may have, with their words."""
    return {
        key: words
        for key, words in OUTCOMES.items()
        if key != TIP_CONFIRMED or concern.found.duty.is_of_length
    }


def close_concern(
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
    """Write that the concern is over, and how.

    Parameters
    ----------
    typed
        ``outcome``, one of `outcomes_for`, and ``note``: what was done and seen.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-no-such-concern``, ``chart-concern-closed``, and
        ``chart-not-yours`` where the line must not be used and somebody else says
        when it may.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    now = clock.now()
    found = open_concern(chart, policies, line, concern, now)
    form = Typed(typed)
    if not may_close(by, is_held=found.concern.is_held):
        form.fault(
            "not-yours",
            "While a line must not be used, the charge nurse or the educator closes "
            "the concern.",
            OUTCOME,
            "tell the charge nurse what was found, or hand the concern on",
        )
    outcome = form.word(
        OUTCOME, "How it ended", outcomes_for(found.concern), needed=True
    )
    note = form.text(NOTE, "What was done and seen", needed=True) or ""
    form.raise_faults()
    body = {"outcome": outcome, "note": note}
    return chart_act(chart, found, "concern-closed", now, by.key, body, submission)
