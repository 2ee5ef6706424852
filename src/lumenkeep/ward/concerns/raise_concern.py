"""Raise a concern by hand: whatever somebody at the bedside worries about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.ward.chart.line_at_hand import line_at_hand
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.concerns.at_hand import NOTE
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.records import Chart, Policies
    from lumenkeep.ward.site.people import Clock, StaffRecord

WHAT, SEEN_AT = "what", "seen-at"
LONGEST_WHAT = 200


def raise_concern(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    typed: Mapping[str, str],
    by: StaffRecord,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write a concern in somebody's own words; also of a line that is out.

    Parameters
    ----------
    typed
        ``what``, in a sentence; ``seen-at`` (empty: now); ``note``.

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
    if not any("by-hand" in rule.signs for rule in found.policy.concerns):
        form.fault(
            "no-rule-by-hand",
            "The policy in force does not say who acts on a concern raised by hand.",
            WHAT,
            "tell the charge nurse, and ask the educator to put it into the policy",
        )
    what = form.text(WHAT, "What worries you", needed=True) or ""
    if len(what) > LONGEST_WHAT:
        form.fault(
            "too-long",
            f"What worries you: longer than {LONGEST_WHAT} characters.",
            WHAT,
            "say it in one sentence, and put the rest into the note",
        )
    at = form.instant(SEEN_AT, "Seen at", found.ward.zone, now) or now
    note = form.text(NOTE, "Note") or ""
    form.raise_faults()
    body = {"what": what, "note": note}
    draft = Draft(found.record.child, line, "concern-raised", at, by.key, body)
    return chart.append(
        [draft], found.ward.policy_set, ward=found.ward.key, submission=submission
    )
