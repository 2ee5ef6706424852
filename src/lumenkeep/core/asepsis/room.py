"""What can be done in one state with what is in the room, with every result kept."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.core.asepsis.act import breaks_any
from lumenkeep.core.asepsis.facts import FORBIDDEN, Facts
from lumenkeep.core.asepsis.stock import Pieces, Stocks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Step
    from lumenkeep.core.asepsis.state import State

Numbers = tuple[int, ...]
"""Acts by their number."""
Node = tuple[int, int, bool]
"""Facts and what is left, by number, and whether packs could be opened now or before.

Opening costs pieces and no time. So an act may take what was never opened, as long as
it could have been: the opening is put in where it was possible.
"""


class Cost(NamedTuple):
    """What a way back costs: bare time (s), pieces (count), acts (count)."""

    bare_s: int = 0
    pieces: int = 0
    acts: int = 0

    def plus(self, other: Cost) -> Cost:
        """Return both together."""
        return Cost(
            self.bare_s + other.bare_s,
            self.pieces + other.pieces,
            self.acts + other.acts,
        )


class Move(NamedTuple):
    """What an act does to a node: its cost, what had to be opened, and where it leads."""

    bare_s: int
    pieces: int
    number: int
    opened: Pieces
    node: Node


class Room:
    """The moves that one branch and its room allow."""

    def __init__(self, branch: Branch, opening: Step) -> None:
        self.branch = branch
        self.opening = opening
        self.facts = Facts()
        self.stocks = Stocks()
        self._openings: dict[Pieces, Act] = {}
        self._may_open: dict[int, bool] = {}
        self._usable: dict[tuple[int, Numbers], tuple[tuple[int, int], ...]] = {}
        self._open_any = self.open_act(((0, 1),))
        self._open_number = self.facts.number_of(self._open_any)

    def open_act(self, pieces: Pieces) -> Act:
        """Return the assistant's opening of some pieces on to the field."""
        act = self._openings.get(pieces)
        if act is None:
            act = self.branch.maker.act(self.opening, pieces)
            self._openings[pieces] = act
        return act

    def may_open(self, facts: int) -> bool:
        """Return whether packs may be opened on to the field with these facts."""
        found = self._may_open.get(facts)
        if found is None:
            found = not breaks_any(self._open_any.tests, self.facts.states[facts])
            self._may_open[facts] = found
        return found

    def node(self, state: State) -> Node:
        """Return the node of a state."""
        facts = self.facts.id_of(state)
        return facts, self.stocks.of_state(state), self.may_open(facts)

    def opened(self, node: Node, pieces: Pieces) -> tuple[int, int] | None:
        """Return facts and what is left after an opening, None if it cannot be."""
        facts, stock, may_open = node
        if not pieces:
            return facts, stock
        left = self.stocks.opened(stock, pieces) if may_open else None
        if left is None:
            return None
        after = self.facts.after(self._open_number, facts)
        # Packs opened earlier, on to the same field, leave these facts as they are.
        return (facts if after == FORBIDDEN else after), left

    def usable(self, facts: int, numbers: Numbers) -> Sequence[tuple[int, int]]:
        """Return the acts that no rule forbids and that change facts, each with those."""
        key = (facts, numbers)
        found = self._usable.get(key)
        if found is None:
            after_of = self.facts.after
            found = self._usable[key] = tuple(
                [
                    (number, after)
                    for number in numbers
                    if (after := after_of(number, facts)) not in (FORBIDDEN, facts)
                ]
            )
        return found

    def moves(self, node: Node, numbers: Numbers) -> list[Move]:
        """Return what some acts do in a node, those left out that cannot be done."""
        facts, stock, may_open = node
        bare, open_field = self.facts.bare[facts], self.facts.open_field
        found = []
        for number, after in self.usable(facts, numbers):
            act = self.facts.act(number)
            taken = self.stocks.taken(stock, act)
            if taken is None or (taken.opened and not may_open):
                continue
            kept = may_open and open_field[facts] and open_field[after]
            there = (after, taken.stock, kept or self.may_open(after))
            seconds = act.seconds if bare else 0
            found.append(Move(seconds, taken.pieces, number, taken.opened, there))
        return found
