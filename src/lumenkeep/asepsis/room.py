"""What can be done in one state with what is in the room, with every result kept."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.asepsis.act import breaks_any
from lumenkeep.asepsis.effects import applied, happened, lacking, supplied
from lumenkeep.asepsis.state import State, is_bare

if TYPE_CHECKING:
    from lumenkeep.asepsis.act import Act
    from lumenkeep.asepsis.branch import Branch
    from lumenkeep.asepsis.procedure import Step


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


class Node(NamedTuple):
    """A state, and whether packs could be opened now or at some time before.

    Opening costs pieces and no time. So an act may take what was never opened, as long
    as it could have been: the opening is put in where it was possible.
    """

    state: State
    may_open: bool


class Move(NamedTuple):
    """What an act does to a node: its cost, what had to be opened, and where it leads."""

    cost: Cost
    act: Act
    opened: tuple[tuple[int, int], ...]
    node: Node


def in_hand(act: Act) -> tuple[tuple[int, int], ...]:
    """Return the items, by place and count, that an act uses without a field."""
    return tuple(pair for pair in act.uses if not act.from_field[pair[0]])


class Room:
    """The moves that one branch and its room allow."""

    def __init__(self, branch: Branch, opening: Step) -> None:
        self.branch = branch
        self.opening = opening
        self._acts: list[Act] = []
        self._known: dict[Node, dict[int, Move | None]] = {}
        self._facts: dict[tuple[str, ...], dict[int, tuple[str, ...] | None]] = {}
        self._may_open: dict[tuple[str, ...], bool] = {}
        self._openings: dict[tuple[tuple[int, int], ...], Act] = {}
        self._open_tests = self.open_act(((0, 1),)).tests

    def number_of(self, act: Act) -> int:
        """Return the number an act is known by here."""
        self._acts.append(act)
        return len(self._acts) - 1

    def act(self, number: int) -> Act:
        """Return an act by its number."""
        return self._acts[number]

    def open_act(self, pieces: tuple[tuple[int, int], ...]) -> Act:
        """Return the assistant's opening of some pieces on to the field."""
        act = self._openings.get(pieces)
        if act is None:
            act = self.branch.maker.act(self.opening, pieces)
            self._openings[pieces] = act
        return act

    def may_open(self, state: State) -> bool:
        """Return whether packs may be opened on to the field in a state."""
        facts: tuple[str, ...] = state[:-1]
        found = self._may_open.get(facts)
        if found is None:
            found = not breaks_any(self._open_tests, state)
            self._may_open[facts] = found
        return found

    def node(self, state: State, before: Node | None = None) -> Node:
        """Return the node of a state: packs opened on to the same field before count."""
        kept = (
            before is not None
            and before.may_open
            and before.state.field == state.field == "open"
        )
        return Node(state, kept or self.may_open(state))

    def opened(self, node: Node, wanting: tuple[tuple[int, int], ...]) -> State | None:
        """Return the state with pieces opened on to the field, None if they cannot be."""
        state = node.state
        if not node.may_open:
            return None
        if any(state.items[place].sealed < count for place, count in wanting):
            return None
        return applied(state, self.open_act(wanting))

    def moves(self, node: Node) -> dict[int, Move | None]:
        """Return what each act tried so far does in a node."""
        return self._known.setdefault(node, {})

    def move(
        self, node: Node, number: int, known: dict[int, Move | None]
    ) -> Move | None:
        """Return what an act does here, None where a rule or an item forbids it."""
        if number in known:
            return known[number]
        found = self._tried(node, number)
        known[number] = found
        return found

    def _tried(self, node: Node, number: int) -> Move | None:
        facts = self.facts_after(node.state, number)
        if facts is None:
            return None
        act, before = self._acts[number], node.state
        missing = lacking(before, act) if act.uses else ()
        if missing:
            if not all(act.from_field[place] for place, _ in missing):
                return None
            opened = self.opened(node, missing)
            if opened is None:
                return None
            before = opened
        after = State._make((*facts, supplied(before, act).items))
        pieces = sum(count for _, count in (*in_hand(act), *missing))
        cost = Cost(act.seconds if is_bare(before) else 0, pieces, 1)
        return Move(cost, act, missing, self.node(after, node))

    def facts_after(self, state: State, number: int) -> tuple[str, ...] | None:
        """Return the facts after an act; None where a rule forbids it or nothing changes.

        Rules and effects speak of facts only, never of items, so this is worked out
        once however many things lie on the field.
        """
        facts: tuple[str, ...] = state[:-1]
        known = self._facts.setdefault(facts, {})
        if number not in known:
            act = self._acts[number]
            after = None
            if not breaks_any(act.tests, state):
                after = happened(state, act)[:-1]
            known[number] = None if after == facts else after
        return known[number]
