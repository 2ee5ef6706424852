"""What is left of each item, by number, and what an act takes of it.

Only what is sealed and what lies on the field can still be used; that is all a search
has to tell apart.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.state import State

Pieces = tuple[tuple[int, int], ...]
"""Items, by place, and how many."""


class Left(NamedTuple):
    """How many of each item are sealed in the room, and how many lie on the field."""

    sealed: tuple[int, ...]
    ready: tuple[int, ...]

    def covers(self, other: Left) -> bool:
        """Return whether it holds at least as much of every item as another."""
        return all(map(int.__ge__, self.sealed, other.sealed)) and all(
            map(int.__ge__, self.ready, other.ready)
        )


class Taken(NamedTuple):
    """What an act takes: the pieces it costs, what must be opened first, what is left."""

    pieces: int
    opened: Pieces
    stock: int


def in_hand(act: Act) -> Pieces:
    """Return the items, by place and count, that an act uses without a field."""
    return tuple(pair for pair in act.uses if not act.from_field[pair[0]])


def count_of(pieces: Pieces) -> int:
    """Return how many pieces there are of all items together."""
    return sum(count for _, count in pieces)


class Stocks:
    """Numbers for what is left, with every result kept."""

    def __init__(self) -> None:
        self.left: list[Left] = []
        self._ids: dict[Left, int] = {}
        self._taken: dict[tuple[int, Pieces], Taken | None] = {}

    def id_of(self, left: Left) -> int:
        """Return the number of what is left."""
        found = self._ids.get(left)
        if found is None:
            found = self._ids[left] = len(self.left)
            self.left.append(left)
        return found

    def of_state(self, state: State) -> int:
        """Return the number of what is left in a state."""
        return self.id_of(
            Left(
                tuple(lot.sealed for lot in state.items),
                tuple(lot.ready for lot in state.items),
            )
        )

    def taken(self, stock: int, act: Act) -> Taken | None:
        """Return what an act takes, None where the room has not enough.

        What it takes from the field and is not there is opened first.
        """
        key = (stock, act.uses)
        if key not in self._taken:
            self._taken[key] = self._worked_out(self.left[stock], act)
        return self._taken[key]

    def _worked_out(self, left: Left, act: Act) -> Taken | None:
        sealed, ready = list(left.sealed), list(left.ready)
        pieces = 0
        opened = []
        for place, count in act.uses:
            there = ready if act.from_field[place] else sealed
            there[place] -= count
            if not act.from_field[place]:
                pieces += count
            elif ready[place] < 0:
                missing, ready[place] = -ready[place], 0
                sealed[place] -= missing
                pieces += missing
                opened.append((place, missing))
            if sealed[place] < 0:
                return None
        stock = self.id_of(Left(tuple(sealed), tuple(ready)))
        return Taken(pieces, tuple(opened), stock)

    def opened(self, stock: int, pieces: Pieces) -> int | None:
        """Return what is left after opening pieces on to the field, None if too few."""
        if not pieces:
            return stock
        left = self.left[stock]
        sealed, ready = list(left.sealed), list(left.ready)
        for place, count in pieces:
            sealed[place] -= count
            ready[place] += count
            if sealed[place] < 0:
                return None
        return self.id_of(Left(tuple(sealed), tuple(ready)))
