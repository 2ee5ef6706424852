"""Search the states that can be reached with what is in the room.

A path is a list of acts, each checked by the same rules as any procedure. Its cost is
compared in this order: seconds with skin, hub or tract bare; pieces opened or used up;
acts. Packs that are opened on to the field are counted as pieces, not as acts.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.asepsis.act import Act
from lumenkeep.asepsis.check import final_state
from lumenkeep.asepsis.rest import Pieces, Rest
from lumenkeep.asepsis.room import Cost, Move, Node, Room
from lumenkeep.asepsis.skin import Bounds, skin_of
from lumenkeep.asepsis.state import State

if TYPE_CHECKING:
    from collections.abc import Sequence


NOTHING = (0, 0)


@dataclass(frozen=True, slots=True)
class Path:
    """Acts from one state to another, and what they cost."""

    acts: tuple[Act, ...]
    cost: Cost
    ends: State


@dataclass(slots=True)
class _Goal:
    """The best end found so far: its cost, its node, and what is opened last."""

    cost: Cost
    node: Node
    opened: Pieces


class _Search:
    """One search: the frontier, the cheapest way to each node, and the best goal."""

    def __init__(self, start: State, rest: Rest, room: Room, bounds: Bounds) -> None:
        self.rest = rest
        self.room = room
        self.bounds = bounds
        self.start = room.node(start)
        first = self._at_least(Cost(), self.start)
        self.queue: list[tuple[Cost, int, Node]] = [(first, 0, self.start)]
        self.best: dict[Node, Cost] = {self.start: Cost()}
        self.came: dict[Node, tuple[Node, Move]] = {}
        self.kept: dict[tuple[object, ...], list[tuple[Cost, Node]]] = {}
        self.usable: dict[tuple[object, ...], list[int]] = {}
        self.goal: _Goal | None = None
        self.turn = 0

    def run(self, numbers: Sequence[int]) -> _Goal | None:
        """Return the cheapest goal, None where there is none."""
        while self.queue:
            likely, _, node = heapq.heappop(self.queue)
            if self.goal is not None and self.goal.cost <= likely:
                break
            cost = self.best[node]
            if likely == self._at_least(cost, node) and not self._is_outdone(
                cost, node
            ):
                self._try_goal(cost, node)
                self._expand(cost, node, numbers)
        return self.goal

    def _at_least(self, cost: Cost, node: Node) -> Cost:
        """Return what a path through a node costs at least.

        What the rest lacks must still be opened, and what is on the skin needs time.
        """
        wanting = self.rest.wanting(node.state)
        seconds, acts = self.bounds.get(skin_of(node.state), NOTHING)
        return Cost(
            cost.bare_s + seconds,
            cost.pieces + sum(count for _, count in wanting),
            cost.acts + acts,
        )

    def _is_outdone(self, cost: Cost, node: Node) -> bool:
        """Return whether a cheaper node with the same facts lacked no item of this one."""
        before = self.kept.setdefault(node.state[:-1], [])
        for paid, other in before:
            if (
                paid <= cost
                and other.may_open >= node.may_open
                and all(
                    mine.sealed <= its.sealed and mine.ready <= its.ready
                    for mine, its in zip(
                        node.state.items, other.state.items, strict=True
                    )
                )
            ):
                return True
        before.append((cost, node))
        return False

    def _try_goal(self, cost: Cost, node: Node) -> None:
        wanting = self.rest.wanting(node.state)
        state = self.room.opened(node, wanting) if wanting else node.state
        if state is None or not self.rest.passes(state):
            return
        total = cost.plus(Cost(0, sum(count for _, count in wanting), 0))
        if self.goal is None or total < self.goal.cost:
            self.goal = _Goal(total, node, wanting)

    def _expand(self, cost: Cost, node: Node, numbers: Sequence[int]) -> None:
        facts = node.state[:-1]
        usable = self.usable.get(facts)
        if usable is None:
            usable = [n for n in numbers if self.room.facts_after(node.state, n)]
            self.usable[facts] = usable
        known = self.room.moves(node)
        for number in usable:
            move = self.room.move(node, number, known)
            if move is None:
                continue
            total = cost.plus(move.cost)
            if move.node in self.best and self.best[move.node] <= total:
                continue
            likely = self._at_least(total, move.node)
            if self.goal is not None and self.goal.cost <= likely:
                continue
            self.best[move.node] = total
            self.came[move.node] = (node, move)
            self.turn += 1
            heapq.heappush(self.queue, (likely, self.turn, move.node))

    def path(self, goal: _Goal) -> Path:
        """Return the acts to a goal, with each opening where it was possible."""
        moves: list[Move] = []
        node = goal.node
        while node != self.start:
            node, move = self.came[node]
            moves.append(move)
        moves.reverse()
        wanted = [move.opened for move in moves] + [goal.opened]
        acts = self._with_openings(moves, wanted)
        ends = final_state(self.start.state, acts)
        return Path(tuple(acts), goal.cost, ends)

    def _with_openings(self, moves: list[Move], wanted: list[Pieces]) -> list[Act]:
        """Return the acts with what each needs opened at the last moment it could be."""
        states = [self.start.state, *(move.node.state for move in moves)]
        could = [self.room.may_open(state) for state in states]
        opened: list[dict[int, int]] = [{} for _ in wanted]
        for place, pieces in enumerate(wanted):
            if pieces:
                moment = max(m for m in range(place + 1) if could[m])
                for item, count in pieces:
                    opened[moment][item] = opened[moment].get(item, 0) + count
        acts: list[Act] = []
        for place, pieces_then in enumerate(opened):
            if pieces_then:
                acts.append(self.room.open_act(tuple(sorted(pieces_then.items()))))
            if place < len(moves):
                acts.append(moves[place].act)
        return acts


def cheapest(
    start: State,
    rest: Rest,
    room: Room,
    numbers: Sequence[int],
    bounds: Bounds,
) -> Path | None:
    """Return the cheapest path to a state from which the rest passes, or None.

    Parameters
    ----------
    start
        State after the slip, once it is said.
    rest
        Steps to come.
    room
        Where moves are worked out.
    numbers
        The acts that may be used, by their number in the room.
    bounds
        At least how long the site still lies bare, and how many acts that takes.
    """
    search = _Search(start, rest, room, bounds)
    goal = search.run(numbers)
    return None if goal is None else search.path(goal)
