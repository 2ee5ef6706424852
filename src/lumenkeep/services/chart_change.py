"""Chart a dressing change that has been done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.planning import plan_change
from lumenkeep.services.change_form import CONNECTORS
from lumenkeep.services.line_at_hand import line_in_place
from lumenkeep.services.ports import Draft
from lumenkeep.services.read_change import read_change
from lumenkeep.services.typed_values import ONE_MINUTE, Typed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies


def chart_change(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    typed: Mapping[str, str],
    by: str,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write the change, and the connectors where they were changed with it.

    Parameters
    ----------
    line
        Key of the line.
    typed
        What was typed, by field, as `change_form` names the fields.
    by
        Key of the person who charts.
    submission
        Key of the form; sent twice it is written once.

    Returns
    -------
    sequence of Entry
        As written; the line's next due times run from them.

    Raises
    ------
    ChartError
        Every fault of the form at once, each with its field in ``where``.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    found = line_in_place(chart, policies, line)
    now = clock.now()
    form = Typed(typed)
    items = plan_change(found.record.state.case, now, found.policy).chart
    read = read_change(form, items, found, now)
    with_connectors = form.word(CONNECTORS, "Connectors changed too", ("yes", "no"))
    changes = found.record.state.changes
    if changes:
        last = changes[-1][0] + ONE_MINUTE
        form.after(read.at_field, "Time", read.at, last, "the last change on the chart")
    form.raise_faults()
    at = read.at or now
    drafts = [Draft(found.record.child, line, "dressing-change", at, by, read.body)]
    if with_connectors == "yes":
        drafts.append(Draft(found.record.child, line, "connector-change", at, by, {}))
    return chart.append(
        drafts,
        found.ward.policy_set,
        ward=found.ward.key,
        submission=submission,
    )
