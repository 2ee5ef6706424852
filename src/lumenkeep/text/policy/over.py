"""Say in few words what one set says otherwise than another: ids, and what became of what."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.comparing.changes import ADDED, CHANGED, LOST, MOVED
from lumenkeep.core.comparing.kinds import NUMBER, PROCEDURE, SET, STEP
from lumenkeep.core.policy.kept_words import noun
from lumenkeep.text.policy.over_parts import Pair, Turns

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from lumenkeep.core.comparing.changes import StatementChange
    from lumenkeep.core.comparing.over import Over

SENTENCES_SHOWN = 12
"""Of so many statements what they say is shown; of more that are only told otherwise, or
added, the ids."""
IDS_SHOWN = 48


def anew_in_words(over: Over, day: date) -> str:
    """Return what a set says anew over the one that it extends."""
    found = _Found.of(over, day)
    told = [
        *found.otherwise,
        *_few([f"{one} (words)" for one in found.words], over),
        *(f"{one} (left out)" for one in found.lost),
        *(f"{one} (order)" for one in found.moved),
    ]
    return f"Said anew by {over.by.id}, over {over.over.id}: {', '.join(told)}."


def added_in_words(over: Over, day: date) -> str:
    """Return what a set adds to the one that it extends."""
    told = _added(over.changes, over, day)
    return f"Added by {over.by.id}, over {over.over.id}: {', '.join(told)}."


def departures_in_words(over: Over, day: date) -> Iterator[str]:
    """Yield how a set departs from the shipped one that it was copied from."""
    found = _Found.of(over, day)
    groups = {
        "left out": found.lost,
        "otherwise": [*found.otherwise, *(f"{one} (order)" for one in found.moved)],
        "added": _added(over.changes, over, day),
        "in other words": _few(found.words, over),
    }
    for what, ids in groups.items():
        if ids:
            yield f"Built like {over.over.id}, but {what}: {', '.join(ids)}."


@dataclass(frozen=True, slots=True)
class _Found:
    """What two sets do not both say alike, but for what is added.

    ``otherwise`` shows what became of what; ``words`` holds ids of what is only told
    otherwise.
    """

    otherwise: list[str]
    words: list[str]
    lost: list[str]
    moved: list[str]

    @classmethod
    def of(cls, over: Over, day: date) -> _Found:
        pair = Pair(over, day)
        changed = [
            (one, pair.turns(one)) for one in over.changes if one.change == CHANGED
        ]
        # Of a translation nobody reads each sentence here.
        count = sum(bool(turns.reads) for _, turns in changed)
        are_few = not over.is_shipped and count <= SENTENCES_SHOWN
        found = cls([], [], *(_ids(over.changes, word) for word in (LOST, MOVED)))
        for one, turns in changed:
            shown = _shown(one, turns, with_sentences=are_few)
            (found.otherwise if shown else found.words).append(_id(one) + shown)
        return found


def _shown(one: StatementChange, turns: Turns, *, with_sentences: bool) -> str:
    parts = (*turns.decides, *(turns.reads if with_sentences else ()))
    if one.kind == NUMBER and turns.decides:
        return f" {'; '.join(parts)}"
    return f" ({'; '.join(parts)})" if parts else ""


def _added(changes: Iterable[StatementChange], over: Over, day: date) -> list[str]:
    """Return what is added; the steps of a procedure go with it."""
    pair = Pair(over, day)
    added = [one for one in changes if one.change == ADDED]
    whole = {one.id for one in added if one.kind == PROCEDURE}
    alone = [one for one in added if not _is_step_of(one, whole)]
    told = [
        _id(one) + (pair.added(one) if place < SENTENCES_SHOWN else "")
        for place, one in enumerate(alone)
    ]
    return _few(told, over, IDS_SHOWN)


def _is_step_of(one: StatementChange, procedures: set[str]) -> bool:
    return one.kind == STEP and all(
        id_.partition("/")[0] in procedures for id_ in (one.id, *one.also)
    )


def _few(ids: Sequence[str], over: Over, most: int = SENTENCES_SHOWN) -> list[str]:
    """Return the first ids; for the rest how many, and what lists them."""
    if len(ids) <= most:
        return list(ids)
    compare = f"“lumenkeep compare {over.over.id} FOLDER” lists them"
    return [*ids[:most], f"and {len(ids) - most} more: {compare}"]


def _ids(changes: Iterable[StatementChange], word: str) -> list[str]:
    return [_id(one) for one in changes if one.change == word]


def _id(change: StatementChange) -> str:
    return change.id if change.kind == SET else f"{noun(change.kind)} {change.id}"
