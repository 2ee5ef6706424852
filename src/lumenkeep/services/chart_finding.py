"""Chart what was found on a dressing; the line may become due at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.model.words import FINDINGS
from lumenkeep.services.line_at_hand import line_in_place
from lumenkeep.services.ports import Draft
from lumenkeep.services.typed_values import Typed, after_insertion

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies

FOUND_AT, NOTE, FINDINGS_FIELD = "found-at", "note", "findings"


def chart_finding(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    findings: Collection[str],
    typed: Mapping[str, str],
    by: str,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write the finding.

    Parameters
    ----------
    findings
        From `words.FINDINGS`; at least one.
    typed
        ``found-at`` (empty: now) and ``note``, as typed.

    Raises
    ------
    ChartError
        Every fault at once: nothing chosen, an unknown word, an impossible time.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    found = line_in_place(chart, policies, line)
    now = clock.now()
    form = Typed(typed)
    if not findings:
        form.fault(
            "missing", "Nothing is chosen.", FINDINGS_FIELD, "choose what was found"
        )
    chosen = form.words(FINDINGS_FIELD, "Found", findings, tuple(FINDINGS))
    at = form.instant(FOUND_AT, "Found at", found.ward.zone, now) or now
    after_insertion(form, FOUND_AT, at, found.record.state)
    note = form.text(NOTE, "Note") or ""
    form.raise_faults()
    body = {"findings": chosen, "note": note}
    draft = Draft(found.record.child, line, "finding", at, by, body)
    return chart.append(
        [draft],
        found.ward.policy_set,
        ward=found.ward.key,
        submission=submission,
    )
