"""Fold what people did about a finding into the concern as it stands.

A concern is new until somebody takes it on, then theirs until it is closed. Handing it
on asks somebody else to take it on, and never moves the time by which it must be
closed. Only a person closes a concern: a shift that ends, a line that comes out or a
child who leaves does not.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import standing
from lumenkeep.core.watch.concerns import (
    CLOSED,
    HANDED_ON,
    NEW,
    TAKEN,
    Concern,
    ConcernAct,
    FoundConcern,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry

TIP_CONFIRMED = "tip-confirmed"
KIND_OF_ACT = {
    "concern-acknowledged": TAKEN,
    "concern-handed-on": HANDED_ON,
    "concern-closed": CLOSED,
}


def acts_by_key(entries: Iterable[Entry]) -> dict[str, tuple[ConcernAct, ...]]:
    """Return what was done about each concern, in the order of writing.

    Corrected acts and those taken back are left out.
    """
    found: dict[str, list[ConcernAct]] = {}
    for entry in sorted(standing(entries), key=lambda e: e.id):
        kind = KIND_OF_ACT.get(entry.kind)
        key = entry.body.get("concern")
        if kind is None or not isinstance(key, str):
            continue
        found.setdefault(key, []).append(
            ConcernAct(
                entry.id,
                kind,
                entry.happened_at,
                entry.by,
                str(entry.body.get("to") or ""),
                str(entry.body.get("outcome") or ""),
                str(entry.body.get("note") or ""),
                str(entry.body.get("label") or ""),
                str(entry.body.get("says") or ""),
            )
        )
    return {key: tuple(acts) for key, acts in found.items()}


def concern_at(
    found: FoundConcern, acts: Sequence[ConcernAct], at: datetime
) -> Concern:
    """Return the concern as it stands at ``at`` (UTC).

    Parameters
    ----------
    found
        The finding.
    acts
        What was done about it, in the order of writing; later ones are left out.
    """
    duty = found.duty
    state, who = NEW, duty.who
    by = found.since + duty.act_within
    settle_by: datetime | None = None
    was_late = False
    done: list[ConcernAct] = []
    for act in acts:
        if act.at > at or state == CLOSED:
            continue
        done.append(act)
        was_late = was_late or act.at > by
        state = act.kind
        if act.kind == TAKEN:
            settle_by = settle_by or act.at + duty.settle_within
            who, by = act.by, settle_by
        elif act.kind == HANDED_ON:
            who = act.to or duty.who
            again = act.at + duty.act_within
            # Whoever is asked gets time to take it on, but handing on for ever does not
            # put off the end.
            end = settle_by or found.since + duty.act_within + duty.settle_within
            by = min(again, end)
    is_overdue = state != CLOSED and at > by
    return Concern(
        found, tuple(done), state, who, by, is_overdue, was_late or is_overdue
    )
