"""Chart that a child lies elsewhere: another bed, another ward."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.model.chart import standing
from lumenkeep.services.enter_line import BED, read_bed
from lumenkeep.services.line_at_hand import line_at_hand
from lumenkeep.services.ports import Draft
from lumenkeep.services.typed_values import ONE_MINUTE, Typed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies

WARD, MOVED_AT = "ward", "moved-at"
GONE = "gone"
"""Chosen where the child has left the hospital's wards."""


def move_child(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    typed: Mapping[str, str],
    by: str,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write where the line's child lies from an instant on.

    Parameters
    ----------
    line
        Key of one of the child's lines; all of them move.
    typed
        ``ward`` (a key, or `GONE`), ``bed``, ``moved-at``.

    Raises
    ------
    ChartError
        Every fault at once.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    found = line_at_hand(chart, policies, line)
    now = clock.now()
    form = Typed(typed)
    wards = {ward.key: ward for ward in chart.wards()}
    key = form.word(WARD, "Ward", (*wards, GONE), needed=True)
    bed = read_bed(form, needed=key != GONE)
    at = form.instant(MOVED_AT, "Moved at", found.ward.zone, now, needed=True)
    last = _last_move(chart, line)
    if last is not None:
        form.after(MOVED_AT, "Moved at", at, last + ONE_MINUTE, "the last move charted")
    if (key, bed) == (found.ward.key, found.record.bed):
        form.fault(
            "contradiction",
            "The child is charted in this bed already.",
            BED,
            "choose where the child has gone",
        )
    form.raise_faults()
    ward = wards.get(key or "", found.ward)
    body: dict[str, str | None] = {"ward": ward.key, "bed": bed, "unit": ward.unit}
    if key == GONE:
        body = {"ward": None, "bed": None, "unit": None}
    draft = Draft(found.record.child, None, "stay", at or now, by, body)
    return chart.append([draft], ward.policy_set, ward=ward.key, submission=submission)


def _last_move(chart: Chart, line: str) -> datetime | None:
    stays = [e for e in standing(chart.entries(line)) if e.kind == "stay"]
    return stays[-1].happened_at if stays else None
