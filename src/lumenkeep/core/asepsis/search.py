"""Search the states that can be reached with what is in the room.

A path is a list of acts, each checked by the same rules as any procedure. Its cost is
compared in this order: seconds with skin, hub or tract bare; pieces opened or used up;
acts. Packs that are opened on to the field are counted as pieces, not as acts.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.act import Act
from lumenkeep.core.asepsis.check import final_state
from lumenkeep.core.asepsis.room import Cost, Move, Node, Numbers, Room
from lumenkeep.core.asepsis.state import State
from lumenkeep.core.asepsis.stock import Pieces

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.rest import Rest
    from lumenkeep.core.asepsis.skin import Bounds
    from lumenkeep.core.asepsis.stock import Left

Paid = tuple[int, int, int]
"""A `Cost` in the making: bare seconds, pieces, acts."""
NOTHING = (0, 0)
FREE = (0, 0, 0)


@dataclass(frozen=True, slots=True)
class Path:
    """Acts from one state to another, and what they cost."""

    acts: tuple[Act, ...]
    cost: Cost
    ends: State


@dataclass(slots=True)
class _Goal:
    """The best end found so far: its cost, its node, and what is opened last."""

    cost: Paid
    node: Node
    opened: Pieces


class _Search:
    """One search: the frontier, the cheapest way to each node, and the best goal."""

    def __init__(self, start: State, rest: Rest, room: Room, bounds: Bounds) -> None:
        self.rest = rest
        self.room = room
        self.bounds = bounds
        self.first = start
        self.start = room.node(start)
        self.queue: list[tuple[Paid, int, Node]] = []
        self.best: dict[Node, Paid] = {self.start: FREE}
        self.came: dict[Node, tuple[Node, Move]] = {}
        self.kept: dict[int, list[tuple[Paid, bool, Left]]] = {}
        self.goal: _Goal | None = None
        self.turn = 0
        likely = self._at_least(FREE, self.start)
        if likely is not None:
            self.queue.append((likely, 0, self.start))

    def run(self, numbers: Numbers) -> _Goal | None:
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

    def _at_least(self, cost: Paid, node: Node) -> Paid | None:
        """Return what a path through a node costs at least, None where it leads nowhere.

        What the rest lacks must still be opened, and what is on the skin needs time.
        """
        wanting = self.rest.wanting(node[1])
        if not wanting.enough:
            return None
        bare_s, pieces, acts = cost
        seconds, more = self.bounds.get(self.room.facts.skins[node[0]], NOTHING)
        return bare_s + seconds, pieces + wanting.total, acts + more

    def _is_outdone(self, cost: Paid, node: Node) -> bool:
        """Return whether a cheaper node with the same facts lacked no item of this one."""
        facts, stock, may_open = node
        left = self.room.stocks.left[stock]
        before = self.kept.setdefault(facts, [])
        for paid, could, other in before:
            if paid <= cost and could >= may_open and other.covers(left):
                return True
        before.append((cost, may_open, left))
        return False

    def _try_goal(self, cost: Paid, node: Node) -> None:
        wanting = self.rest.wanting(node[1])
        found = self.room.opened(node, wanting.pieces)
        if found is None or not self.rest.passes(*found):
            return
        bare_s, pieces, acts = cost
        total = (bare_s, pieces + wanting.total, acts)
        if self.goal is None or total < self.goal.cost:
            self.goal = _Goal(total, node, wanting.pieces)

    def _expand(self, cost: Paid, node: Node, numbers: Numbers) -> None:
        bare_s, pieces, acts = cost
        for move in self.room.moves(node, numbers):
            total = (bare_s + move.bare_s, pieces + move.pieces, acts + 1)
            there = move.node
            if there in self.best and self.best[there] <= total:
                continue
            likely = self._at_least(total, there)
            if likely is None or (self.goal and self.goal.cost <= likely):
                continue
            self.best[there] = total
            self.came[there] = (node, move)
            self.turn += 1
            heapq.heappush(self.queue, (likely, self.turn, there))

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
        ends = final_state(self.first._replace(owes=()), acts)
        return Path(tuple(acts), Cost(*goal.cost), ends)

    def _with_openings(self, moves: list[Move], wanted: list[Pieces]) -> list[Act]:
        """Return the acts with what each needs opened as late as it could be, and once.

        What is wanted later is opened together with what was opened before, as long as
        the same field lies there.
        """
        nodes = [self.start, *(move.node for move in moves)]
        could = [self.room.may_open(facts) for facts, _, _ in nodes]
        lies = [self.room.facts.open_field[facts] for facts, _, _ in nodes]
        opened: list[dict[int, int]] = [{} for _ in wanted]
        for place, pieces in enumerate(wanted):
            if pieces:
                moment = max(m for m in range(place + 1) if could[m])
                before = [m for m in range(moment) if opened[m] and all(lies[m:moment])]
                moment = before[-1] if before else moment
                for item, count in pieces:
                    opened[moment][item] = opened[moment].get(item, 0) + count
        acts: list[Act] = []
        for place, pieces_then in enumerate(opened):
            if pieces_then:
                acts.append(self.room.open_act(tuple(sorted(pieces_then.items()))))
            if place < len(moves):
                acts.append(self.room.facts.act(moves[place].number))
        return acts


def cheapest(
    start: State,
    rest: Rest,
    room: Room,
    numbers: Numbers,
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
