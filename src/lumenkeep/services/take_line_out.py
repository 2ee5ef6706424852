"""Chart that a line has been taken out, or came out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.model.chart import standing
from lumenkeep.services.line_at_hand import line_in_place
from lumenkeep.services.ports import Draft
from lumenkeep.services.typed_values import Typed, after_insertion

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies

OUT_AT, REASON, TIP, NOTE = "out-at", "reason", "tip", "note"
REASONS = {
    "not-needed": "No longer needed",
    "infection": "Infection, proved or feared",
    "blocked": "Blocked",
    "moved": "Moved, or came out",
    "broken": "Broken",
    "clot": "Clot",
    "other": "Another reason",
}
TIPS = {"yes": "Yes", "no": "No: call at once", "not-looked": "Not looked at"}


def take_line_out(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    typed: Mapping[str, str],
    by: str,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write that the line is out; nothing more falls due on it.

    Parameters
    ----------
    typed
        ``out-at``, ``reason`` (a key of `REASONS`), ``tip`` (of `TIPS`) and ``note``.

    Raises
    ------
    ChartError
        Every fault at once, among them a time before something charted on the line.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    found = line_in_place(chart, policies, line)
    now = clock.now()
    form = Typed(typed)
    at = form.instant(OUT_AT, "Out at", found.ward.zone, now, needed=True) or now
    reason = form.word(REASON, "Why", tuple(REASONS), needed=True)
    tip = form.word(TIP, "Whole, tip and all", tuple(TIPS), needed=True)
    note = form.text(NOTE, "Note")
    after_insertion(form, OUT_AT, at, found.record.state)
    later = [
        e
        for e in standing(chart.entries(line))
        if e.line == line and e.happened_at > at
    ]
    if later:
        form.fault(
            "contradiction",
            f"Out at: something was done on the line after that, entry {later[-1].id}.",
            OUT_AT,
            "check the time, or correct that entry first",
        )
    form.raise_faults()
    body: dict[str, Any] = {
        "reason": REASONS[reason or "other"].lower(),
        "whole": {"yes": True, "no": False}.get(tip or ""),
    }
    if note:
        body["note"] = note
    draft = Draft(found.record.child, line, "line-removed", at, by, body)
    return chart.append(
        [draft], found.ward.policy_set, ward=found.ward.key, submission=submission
    )
