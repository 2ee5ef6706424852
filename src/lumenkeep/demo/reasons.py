"""A few changes that came early for another reason, or whose reason nobody charted."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lumenkeep.demo.chronicle import Chronicle

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
