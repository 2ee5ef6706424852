"""Cut a set of grid points into the fewest boxes, without overlap or gap.

A box takes a run of neighbouring places on each axis. The search is exact: it
deepens the number of boxes until a partition is found, and says so when it had to
stop early and fall back on a greedy cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

Point = tuple[int, ...]
Box = tuple[tuple[int, int], ...]
"""First and last place on each axis, both inside."""
STEPS = 20_000


@dataclass(frozen=True, slots=True)
class Partition:
    """Boxes that together are the points; ``is_fewest`` if no smaller number does."""

    boxes: tuple[Box, ...]
    is_fewest: bool


def points_in(box: Box) -> Iterator[Point]:
    """Yield every point of a box."""
    yield from product(*(range(low, high + 1) for low, high in box))


def fewest_boxes(points: Iterable[Point], *, steps: int = STEPS) -> Partition:
    """Return a partition of the points into as few boxes as there can be.

    Parameters
    ----------
    points
        Distinct points, all with the same number of axes.
    steps
        How many boxes the search may try before it falls back on the greedy cut.
    """
    whole = frozenset(points)
    if not whole:
        return Partition((), is_fewest=True)
    greedy = _greedy(whole)
    search = _Search(whole, steps)
    for number in range(search.at_least(), len(greedy)):
        found = search.partition(number)
        if found is not None:
            return Partition(found, is_fewest=True)
        if search.is_spent:
            return Partition(greedy, is_fewest=False)
    return Partition(greedy, is_fewest=True)


def _greedy(whole: frozenset[Point]) -> tuple[Box, ...]:
    left = set(whole)
    boxes = []
    while left:
        box = max(
            (_grown(point, left) for point in sorted(left)),
            key=_size,
        )
        boxes.append(box)
        left -= set(points_in(box))
    return tuple(boxes)


def _size(box: Box) -> int:
    size = 1
    for low, high in box:
        size *= high - low + 1
    return size


def _grown(point: Point, inside: set[Point] | frozenset[Point]) -> Box:
    """Return a box around ``point`` that cannot grow further inside the set."""
    box = tuple((place, place) for place in point)
    grew = True
    while grew:
        grew = False
        for wider in _wider(box):
            if all(p in inside for p in points_in(wider)):
                box, grew = wider, True
                break
    return box


def _wider(box: Box) -> Iterator[Box]:
    for axis, (low, high) in enumerate(box):
        for run in ((low - 1, high), (low, high + 1)):
            yield (*box[:axis], run, *box[axis + 1 :])


def _need(points: set[Point] | frozenset[Point]) -> int:
    """Return how many boxes are needed at least.

    Points of which no two fit into one box each need a box of their own.
    """
    apart: list[Point] = []
    for point in sorted(points):
        if not any(_share_a_box(point, other, points) for other in apart):
            apart.append(point)
    return len(apart)


def _share_a_box(one: Point, two: Point, points: set[Point] | frozenset[Point]) -> bool:
    hull = tuple((min(a, b), max(a, b)) for a, b in zip(one, two, strict=True))
    return all(p in points for p in points_in(hull))


class _Search:
    """Depth-first search for a partition into a given number of boxes."""

    def __init__(self, whole: frozenset[Point], steps: int) -> None:
        self.whole = whole
        self.steps = steps

    @property
    def is_spent(self) -> bool:
        """Whether the allowance of steps ran out."""
        return self.steps <= 0

    def at_least(self) -> int:
        """Return a number below which no partition can go."""
        return _need(self.whole)

    def partition(self, number: int) -> tuple[Box, ...] | None:
        """Return a partition into at most ``number`` boxes, None if none was found."""
        return self._cover(set(self.whole), number)

    def _cover(self, left: set[Point], number: int) -> tuple[Box, ...] | None:
        if not left:
            return ()
        if number < _need(left) or self.is_spent:
            return None
        corner = min(left)
        for box in self._boxes_from(corner, left):
            self.steps -= 1
            inside = set(points_in(box))
            rest = self._cover(left - inside, number - 1)
            if rest is not None:
                return (box, *rest)
        return None

    def _boxes_from(self, corner: Point, left: set[Point]) -> list[Box]:
        """Return every box inside ``left`` whose least point is ``corner``.

        The least point of what is left is the least point of the box that holds it.
        """
        found: list[Box] = []

        def extend(axis: int, box: Box) -> None:
            if axis == len(corner):
                found.append(box)
                return
            low = corner[axis]
            high = low
            while True:
                wider = (*box[:axis], (low, high), *box[axis + 1 :])
                if not all(p in left for p in points_in(wider)):
                    return
                extend(axis + 1, wider)
                high += 1

        extend(0, tuple((place, place) for place in corner))
        return sorted(found, key=_size, reverse=True)
