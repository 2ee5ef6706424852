"""A few planned changes that came late, as on any real ward."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from random import Random
from typing import TYPE_CHECKING

from lumenkeep.demo.told import days, hours

if TYPE_CHECKING:
    from lumenkeep.demo.chronicle import Chronicle, Note

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
    rows: dict[tuple[str | None, str], list[Note]] = {}
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
