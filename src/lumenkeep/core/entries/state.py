"""Read the entries of a line and its child into their state at one instant.

The only reading of the chart: whatever asks what holds for a line asks here. What an
entry changes is said with its kind (`entries.kinds`); this module only goes through
the entries in the order in which things happened.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.entries.fold import LineFold, LineState
from lumenkeep.core.entries.registry import kind_of
from lumenkeep.core.entries.signs import signs_in
from lumenkeep.core.entries.turns import note_turns
from lumenkeep.core.model.chart import standing, taken_back_at

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, tzinfo

    from lumenkeep.core.entries.kind import Kind
    from lumenkeep.core.model.entry import Entry

LENGTH = "external_length_mm"


def line_state(
    entries: Sequence[Entry],
    at: datetime,
    zone: tzinfo,
    *,
    known_at: datetime | None = None,
) -> LineState:
    """Return the state of one line and its child at ``at``.

    Parameters
    ----------
    entries
        Every entry of the child that concerns the child or this line.
    at
        Instant asked about (UTC); what happened later is left out.
    zone
        The ward's zone.
    known_at
        Also leave out what was written later than this (UTC).
    """
    fold = LineFold(zone)
    for entry in standing(entries, known_at):
        if entry.happened_at > at:
            break
        take(fold, entry)
    state = fold.state()
    back_at = taken_back_at(entries, known_at)
    if back_at is None:
        return state
    return replace(state, removed_at=back_at, is_taken_back=True)


def take(fold: LineFold, entry: Entry) -> None:
    """Go on by one entry that stands; one of an unknown kind changes nothing."""
    kind = kind_of(entry.kind)
    if kind is None:
        return
    before = fold.child, fold.line
    if kind.takes is not None:
        kind.takes(fold, entry)
    _set_facts(fold, kind, entry)
    seen = signs_in(entry)
    fold.see(seen.there, seen.gone, entry.happened_at)
    after = fold.child, fold.line
    note_turns(fold.known_since, before, after, entry.happened_at)
    length = entry.body.get(LENGTH)
    if length is not None:
        fold.lengths.append((entry.happened_at, float(length)))
    said = {key: v for key, v in entry.body.items() if v is not None}
    fold.latest[kind.id] = {**fold.latest.get(kind.id, {}), **said}


def _set_facts(fold: LineFold, kind: Kind, entry: Entry) -> None:
    for one in kind.fields:
        value = entry.body.get(one.key)
        if one.sets and value is not None:
            fold.set_fact(one.sets, value)
    if kind.task is not None:
        fold.set_fact(kind.task.fact, entry.happened_at)
    if kind.is_look:
        fold.set_fact("line.inspected", entry.happened_at)
