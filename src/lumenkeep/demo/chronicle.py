"""Gather what happened, in any order, and number it in the order it was written."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import pairwise
from random import Random
from typing import Any

from lumenkeep.core.model.entry import Entry
from lumenkeep.demo.told import days, hours


@dataclass(eq=False, slots=True)
class DraftEntry:
    """An entry to be, not yet numbered."""

    child: str
    line: str | None
    kind: str
    happened_at: datetime
    written_at: datetime
    by: str
    body: dict[str, Any]
    corrects: DraftEntry | None = None
    id: int = 0


@dataclass(slots=True)
class Chronicle:
    """All notes of a scenario whose present is ``now`` (UTC)."""

    now: datetime
    notes: list[DraftEntry] = field(default_factory=list)

    def write(
        self,
        rng: Random,
        child: str,
        line: str | None,
        kind: str,
        at: datetime,
        by: str,
        body: dict[str, Any],
    ) -> DraftEntry:
        """Note that something happened, written down a few minutes later."""
        at = at.replace(second=0, microsecond=0)
        written = at + timedelta(minutes=rng.randint(2, 9), seconds=rng.randint(0, 59))
        note = DraftEntry(child, line, kind, at, min(written, self.now), by, body)
        self.notes.append(note)
        return note

    def correct(
        self, wrong: DraftEntry, after: timedelta, **changed: Any
    ) -> DraftEntry:
        """Note a correction of ``wrong``, written ``after`` it."""
        return self._mend(wrong, wrong.kind, after, {**wrong.body, **changed})

    def withdraw(self, wrong: DraftEntry, after: timedelta, because: str) -> DraftEntry:
        """Note that ``wrong`` is taken back."""
        return self._mend(wrong, "withdrawn", after, {"because": because})

    def _mend(
        self, wrong: DraftEntry, kind: str, after: timedelta, body: dict[str, Any]
    ) -> DraftEntry:
        written = min(wrong.written_at + after, self.now)
        note = DraftEntry(
            wrong.child, wrong.line, kind, wrong.happened_at, written,
            wrong.by, body, wrong,
        )  # fmt: skip
        self.notes.append(note)
        return note

    def entries(self, policy: str) -> tuple[Entry, ...]:
        """Return the entries, numbered from 1; nothing of the future is among them."""
        kept = [note for note in self.notes if note.happened_at <= self.now]
        # A correction noted in the same second still comes after what it corrects.
        kept.sort(key=lambda n: (n.written_at, n.corrects is not None))
        for number, note in enumerate(kept, start=1):
            note.id = number
        return tuple(
            Entry(
                note.id, note.child, note.line, note.kind, note.happened_at,
                note.written_at, note.by, policy,
                note.corrects.id if note.corrects else None, note.body,
            )
            for note in kept
        )  # fmt: skip


LATE_SHARE = 0.07
WEEK = days(7)
DELAYED = ("dressing-change", "connector-change", "needle-change")


def let_some_come_late(chronicle: Chronicle, seed: str) -> None:
    """Move some changes past their week, each before the next one on its line.

    The last of a line stays where it is: the ward's present does not move. The choice
    is by a seed of its own, so that nothing else of the scenario moves either.
    """
    rng = Random(f"{seed}/lateness")  # noqa: S311  invented
    corrected = {id(note.corrects) for note in chronicle.notes if note.corrects}
    rows: dict[tuple[str | None, str], list[DraftEntry]] = {}
    for note in chronicle.notes:
        if note.kind in DELAYED:
            rows.setdefault((note.line, note.kind), []).append(note)
    for row in rows.values():
        row.sort(key=lambda note: note.happened_at)
        for (before, note), (_, after) in pairwise(pairwise(row)):
            due = before.happened_at + WEEK
            by = due - note.happened_at + hours(rng.uniform(0.4, 26))
            room = after.happened_at - note.happened_at - days(1)
            is_plain = note.corrects is None and id(note) not in corrected
            is_planned = note.body.get("because", "planned") == "planned"
            chosen = rng.random() < LATE_SHARE
            if chosen and is_plain and is_planned and timedelta() < by < room:
                whole = timedelta(minutes=by // timedelta(minutes=1))
                note.happened_at += whole
                note.written_at += whole


EARLY, NOT_CHARTED = 5, 7


def leave_reasons_open(chronicle: Chronicle, seed: str) -> None:
    """Turn some planned changes into such ones, as on any real chart.

    Those corrected later stay as they are. The choice is by a seed of its own, so that
    nothing else of the scenario moves.
    """
    rng = Random(f"{seed}/reasons")  # noqa: S311  invented children need no secrecy
    corrected = {id(note.corrects) for note in chronicle.notes if note.corrects}
    planned = [
        note
        for note in chronicle.notes
        if note.kind == "dressing-change"
        and note.body.get("because") == "planned"
        and note.corrects is None
        and id(note) not in corrected
    ]
    chosen = rng.sample(planned, min(EARLY + NOT_CHARTED, len(planned)))
    for position, note in enumerate(chosen):
        note.body["because"] = "early" if position < EARLY else None
