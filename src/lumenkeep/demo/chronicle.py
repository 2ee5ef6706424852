"""Gather what happened, in any order, and number it in the order it was written."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.entry import Entry

if TYPE_CHECKING:
    from random import Random


@dataclass(eq=False, slots=True)
class Note:
    """An entry to be, not yet numbered."""

    child: str
    line: str | None
    kind: str
    happened_at: datetime
    written_at: datetime
    by: str
    body: dict[str, Any]
    corrects: Note | None = None
    id: int = 0


@dataclass(slots=True)
class Chronicle:
    """All notes of a scenario whose present is ``now`` (UTC)."""

    now: datetime
    notes: list[Note] = field(default_factory=list)

    def write(
        self,
        rng: Random,
        child: str,
        line: str | None,
        kind: str,
        at: datetime,
        by: str,
        body: dict[str, Any],
    ) -> Note:
        """Note that something happened, written down a few minutes later."""
        at = at.replace(second=0, microsecond=0)
        written = at + timedelta(minutes=rng.randint(2, 9), seconds=rng.randint(0, 59))
        note = Note(child, line, kind, at, min(written, self.now), by, body)
        self.notes.append(note)
        return note

    def correct(self, wrong: Note, after: timedelta, **changed: Any) -> Note:
        """Note a correction of ``wrong``, written ``after`` it."""
        return self._mend(wrong, wrong.kind, after, {**wrong.body, **changed})

    def withdraw(self, wrong: Note, after: timedelta, because: str) -> Note:
        """Note that ``wrong`` is taken back."""
        return self._mend(wrong, "withdrawn", after, {"because": because})

    def _mend(
        self, wrong: Note, kind: str, after: timedelta, body: dict[str, Any]
    ) -> Note:
        written = min(wrong.written_at + after, self.now)
        note = Note(
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
