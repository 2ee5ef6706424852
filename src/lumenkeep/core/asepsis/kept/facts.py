"""Whether rows of facts, and what is asked of a step, say as much as others do."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.asepsis.procedure import Duty
    from lumenkeep.core.asepsis.when import Row, Rows

ANY: Rows = ((),)
"""A row that always holds."""
NOT = "not_"


def all_imply(rows: Rows, others: Rows) -> bool:
    """Return whether each of some rows holds only where one of the others does."""
    return all(any(_implies(row, other) for other in others) for row in rows)


def as_often(given: Rows, own: Rows) -> bool:
    """Return whether states of ``own`` are all those of ``given``, and perhaps more.

    No rows stand for any state.
    """
    return all_imply(given or ANY, own or ANY)


def _implies(row: Row, other: Row) -> bool:
    words = dict(row)
    return all(fact in words and words[fact] <= wide for fact, wide in other)


def asks_for_all(
    asked: Mapping[str, tuple[str, ...]], own: Mapping[str, tuple[str, ...]]
) -> bool:
    """Return whether whatever step is ``asked`` for is one that ``own`` asks for too."""
    return all(
        key in asked
        and (
            set(words) <= set(asked[key])
            if key.startswith(NOT)
            else set(words) >= set(asked[key])
        )
        for key, words in own.items()
    )


def duties_lost(asked: Sequence[Duty], own: Sequence[Duty]) -> list[Duty]:
    """Return the duties that are no more among a slip's own, in their order."""
    lost, rest = [], list(own)
    for duty in asked:
        place = next((n for n, one in enumerate(rest) if _is_owed(duty, one)), None)
        if place is None:
            lost.append(duty)
        else:
            rest = rest[place + 1 :]
    return lost


def _is_owed(duty: Duty, own: Duty) -> bool:
    """Return whether an own duty asks for no less: no other act would do for it."""
    return asks_for_all(own.on, duty.on) and as_often(duty.given, own.given)


def in_order(asked: Sequence[str], own: Sequence[str]) -> bool:
    """Return whether all words are among others, in the same order."""
    rest = iter(own)
    return all(word in rest for word in asked)
