"""Search the states that can be reached with what is in the room.

A path is a list of acts, each checked by the same rules as any procedure. Its cost is
compared in this order: seconds with skin, hub or tract bare; pieces opened or used up;
acts. Packs that are opened on to the field are counted as pieces, not as acts.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.asepsis.act import Act, any_row
from lumenkeep.asepsis.check import NOT_ASEPTIC, final_state, first_fault
from lumenkeep.asepsis.room import Cost, Move, Node, Room
from lumenkeep.asepsis.state import State

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.asepsis.branch import Branch

Pieces = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Path:
    """Acts from one state to another, and what they cost."""

    acts: tuple[Act, ...]
    cost: Cost
    ends: State


class Rest:
    """The steps that are still to come, and whether a state is one to go on from."""

    def __init__(self, branch: Branch, place: int) -> None:
        self.acts = branch.acts[place:]
        self.ends = branch.ends
        self.resets = branch.resets
        self.uses = _used_by(self.acts)
        self.needs = _ready_needed(self.acts, len(branch.items))

    def has_items(self, state: State) -> bool:
        """Return whether the room still holds what the steps to come use up."""
        return all(
            state.items[place].sealed + state.items[place].ready >= count
            for place, count in self.uses
        )

    def passes(self, state: State) -> bool:
        """Return whether the steps to come break no rule from here, to a good end."""
        if first_fault(state, self.acts) is not None:
            return False
        last = final_state(state, self.acts)
        if self.ends and not any_row(self.ends, last):
            return False
        return not (self.resets and last.site in NOT_ASEPTIC)

    def wanting(self, state: State) -> Pieces:
        """Return what must be opened on to the field for the steps to come."""
        return tuple(
            (place, count - state.items[place].ready)
            for place, count in self.needs
            if count > state.items[place].ready
        )


def _used_by(acts: Sequence[Act]) -> Pieces:
    counts: dict[int, int] = {}
    for act in acts:
        for place, count in act.uses:
            counts[place] = counts.get(place, 0) + count
    return tuple(counts.items())


def _ready_needed(acts: Sequence[Act], items: int) -> Pieces:
    """Return how many of each item must lie on the field before the acts begin."""
    level, lowest = [0] * items, [0] * items
    for act in acts:
        for place, count in act.uses:
            if act.from_field[place]:
                level[place] -= count
                lowest[place] = min(lowest[place], level[place])
        for place, count in act.opens:
            level[place] += count
    return tuple((p, -low) for p, low in enumerate(lowest) if low < 0)


@dataclass(slots=True)
class _Goal:
    """The best end found so far: its cost, its node, and what is opened last."""

    cost: Cost
    node: Node
    opened: Pieces


class _Search:
    """One search: the frontier, the cheapest way to each node, and the best goal."""

    def __init__(self, start: State, rest: Rest, room: Room) -> None:
        self.rest = rest
        self.room = room
        self.start = room.node(start)
        first = self._at_least(Cost(), self.start)
        self.queue: list[tuple[Cost, int, Node]] = [(first, 0, self.start)]
        self.best: dict[Node, Cost] = {self.start: Cost()}
        self.came: dict[Node, tuple[Node, Move]] = {}
        self.kept: dict[tuple[object, ...], list[tuple[Cost, Node]]] = {}
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
        """Return what a path through a node costs at least: what the rest lacks counts."""
        wanting = self.rest.wanting(node.state)
        return Cost(
            cost.bare_s, cost.pieces + sum(count for _, count in wanting), cost.acts
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
        known = self.room.moves(node)
        for number in numbers:
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
    start: State, rest: Rest, room: Room, numbers: Sequence[int]
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
    """
    search = _Search(start, rest, room)
    goal = search.run(numbers)
    return None if goal is None else search.path(goal)
