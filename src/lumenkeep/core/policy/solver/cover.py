"""Cover where a diagram holds with as few boxes as can be found.

A box takes a run of neighbouring places on an axis of quantities, and any places on an
axis of words. Boxes may overlap: what they cover has one answer, and boxes that may not
overlap would double in number with every further rule.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from lumenkeep.core.policy.solver.diagram import Box, Diagrams, Node
from lumenkeep.core.policy.solver.review import fewest_that_meet_all

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

Point = tuple[int, ...]
MOST_POINTS = 256
"""Of so few points every box is tried, so that none fewer can do."""
MOST_BOXES = 400
TURNS = 4
"""In how many orders of the axes a box is let grow."""


@dataclass(frozen=True, slots=True)
class Cover:
    """Boxes that together are all that was to be covered.

    ``is_fewest`` if it is proved that no smaller number does.
    """

    boxes: tuple[Box, ...]
    is_fewest: bool


def cover(
    over: Diagrams, wanted: Node, is_run: Sequence[bool], free: Node | None = None
) -> Cover:
    """Return few boxes that hold every wanted point and no other that is not free.

    Parameters
    ----------
    over
        The axes.
    wanted
        Where the boxes must lie.
    is_run
        For each axis, whether a box takes neighbouring places on it.
    free
        Where they may lie besides: points at which nobody is.
    """
    search = _Search(over, wanted, over.no if free is None else free, is_run)
    boxes = search.without_idle(search.greedy())
    if search.needed(boxes) == len(boxes):
        return Cover(tuple(boxes), is_fewest=True)
    exact = search.exact(boxes)
    return exact if exact is not None else Cover(tuple(boxes), is_fewest=False)


class _Search:
    def __init__(
        self, over: Diagrams, wanted: Node, free: Node, is_run: Sequence[bool]
    ) -> None:
        self.over, self.is_run = over, is_run
        self.wanted = over.without(wanted, free)
        self.allowed = over.either(wanted, free)
        self.axes = range(len(over.sizes))
        self.groups = [self._alike(axis) for axis in self.axes]

    def _alike(self, axis: int) -> list[tuple[int, ...]]:
        """Return the places of an axis, those together that make no difference."""
        told = [
            self.over.kids(node)
            for root in (self.wanted, self.allowed)
            for node in self.over.reached(root)
            if self.over.level(node) == axis
        ]
        groups: list[list[int]] = []
        for place in range(self.over.sizes[axis]):
            near = groups[-1:] if self.is_run[axis] else groups
            group = next(
                (g for g in near if all(k[g[0]] == k[place] for k in told)), None
            )
            if group is None:
                groups.append([place])
            else:
                group.append(place)
        return [tuple(group) for group in groups]

    # ------------------------------------------------------------- few

    def greedy(self) -> list[Box]:
        """Return boxes that cover all, each as much of what is left as was found."""
        boxes, left = [], self.wanted
        while left != self.over.no:
            corner = self.over.first(left)
            grown = {self.grown(corner, turn) for turn in range(TURNS)}
            box = max(
                sorted(grown),
                key=lambda one: self.over.count(
                    self.over.both(left, self.over.in_box(one))
                ),
            )
            boxes.append(box)
            left = self.over.without(left, self.over.in_box(box))
        return boxes

    def grown(self, corner: Point, turn: int) -> Box:
        """Return a box around a point that cannot grow further."""
        box = self._unit(corner)
        for axis in _turned(self.axes, turn):
            box = self._widened(box, axis)
        return box

    def _unit(self, point: Point) -> Box:
        """Return the box of the points that are like one."""
        return tuple(
            next(group for group in self.groups[axis] if point[axis] in group)
            for axis in self.axes
        )

    def _widened(self, box: Box, axis: int) -> Box:
        """Return a box with every place of an axis that it can take."""
        groups = self.groups[axis]
        if len(groups) == 1:
            return box
        here = groups.index(box[axis])
        if not self.is_run[axis]:
            taken = [g for g in groups if g == box[axis] or self._may(box, axis, g)]
        else:
            low = high = here
            while low and self._may(box, axis, groups[low - 1]):
                low -= 1
            while high + 1 < len(groups) and self._may(box, axis, groups[high + 1]):
                high += 1
            taken = groups[low : high + 1]
        return (*box[:axis], _joined(taken), *box[axis + 1 :])

    def _may(self, box: Box, axis: int, places: tuple[int, ...]) -> bool:
        wider = (*box[:axis], places, *box[axis + 1 :])
        return self.over.holds_in(self.allowed, wider)

    def without_idle(self, boxes: list[Box]) -> list[Box]:
        """Return the boxes without those that the others cover already."""
        kept = list(boxes)
        alone = self._each_alone(boxes)
        for box in sorted(boxes, key=_size):
            if alone[box] == self.over.no and self._is_idle(box, kept):
                kept.remove(box)
        return kept

    def _is_idle(self, box: Box, boxes: Sequence[Box]) -> bool:
        left = self.over.both(self.wanted, self.over.in_box(box))
        for other in boxes:
            if other != box and left != self.over.no:
                left = self.over.without(left, self.over.in_box(other))
        return left == self.over.no

    def _each_alone(self, boxes: Sequence[Box]) -> dict[Box, Node]:
        """Return what is wanted and lies in one box alone, by box."""
        once = twice = self.over.no
        for box in boxes:
            here = self.over.in_box(box)
            twice = self.over.either(twice, self.over.both(once, here))
            once = self.over.either(once, here)
        free = self.over.without(self.wanted, twice)
        return {box: self.over.both(free, self.over.in_box(box)) for box in boxes}

    # ------------------------------------------------------------- proved

    def needed(self, boxes: Sequence[Box]) -> int:
        """Return how many boxes are needed at least.

        Points of which no two fit into one box each need a box of their own.
        """
        apart: list[Point] = []
        for alone in self._each_alone(boxes).values():
            ends = (False, True) if alone != self.over.no else ()
            for point in (self.over.first(alone, last=end) for end in ends):
                if not any(self._share_a_box(point, other) for other in apart):
                    apart.append(point)
                    break
        return len(apart)

    def _share_a_box(self, one: Point, two: Point) -> bool:
        hull = tuple(
            tuple(range(min(a, b), max(a, b) + 1))
            if self.is_run[axis]
            else tuple(sorted({a, b}))
            for axis, (a, b) in enumerate(zip(one, two, strict=True))
        )
        return self.over.holds_in(self.allowed, hull)

    def exact(self, known: Sequence[Box]) -> Cover | None:
        """Return the fewest boxes of all there are; None where these are too many."""
        points = self._points()
        if points is None:
            return None
        boxes = self._every_box(points)
        if boxes is None:
            return None
        # What is known comes first, so that it stays unless fewer can do.
        meets = {
            box: frozenset(str(n) for n, p in enumerate(points) if _holds(box, p))
            for box in dict.fromkeys((*known, *boxes))
        }
        chosen, is_fewest = fewest_that_meet_all(meets)
        best = chosen if len(chosen) < len(known) else list(known)
        return Cover(tuple(best), is_fewest)

    def _points(self) -> list[Point] | None:
        """Return one of each kind of wanted point; None where they are too many."""
        found: list[Point] = []
        left = self.wanted
        while left != self.over.no:
            if len(found) == MOST_POINTS:
                return None
            point = self.over.first(left)
            found.append(point)
            left = self.over.without(left, self.over.in_box(self._unit(point)))
        return found

    def _every_box(self, points: Sequence[Point]) -> list[Box] | None:
        """Return every box that cannot grow; None where they are too many."""
        found: dict[Box, None] = {}
        seen: set[Box] = set()
        left = [self._unit(point) for point in points]
        while left:
            box = left.pop()
            if box in seen:
                continue
            seen.add(box)
            if len(seen) > MOST_BOXES * len(self.axes):
                return None
            wider = list(self._each_wider(box))
            left += wider
            if not wider:
                found[box] = None
            if len(found) > MOST_BOXES:
                return None
        return list(found)

    def _each_wider(self, box: Box) -> Iterator[Box]:
        """Yield each box that is wider by one group of places, and may be."""
        for axis, groups in enumerate(self.groups):
            taken = set(box[axis])
            inside = [n for n, group in enumerate(groups) if group[0] in taken]
            outside = [n for n in range(len(groups)) if n not in inside]
            if self.is_run[axis]:
                outside = [n for n in outside if {n - 1, n + 1} & set(inside)]
            for number in outside:
                if self._may(box, axis, groups[number]):
                    wider = _joined([box[axis], groups[number]])
                    yield (*box[:axis], wider, *box[axis + 1 :])


def _joined(groups: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
    return tuple(sorted(place for group in groups for place in group))


def _turned(axes: range, turn: int) -> list[int]:
    """Return the axes in one of several orders: from the first, the last, amid."""
    order = list(axes)
    if turn % 2:
        order.reverse()
    middle = len(order) // 2 if turn > 1 else 0
    return [*order[middle:], *order[:middle]]


def _size(box: Box) -> int:
    size = 1
    for places in box:
        size *= len(places)
    return size


def _holds(box: Box, point: Point) -> bool:
    return all(place in places for place, places in zip(point, box, strict=True))


def points_in(box: Box) -> Iterator[Point]:
    """Yield every point of a box."""
    yield from product(*box)
