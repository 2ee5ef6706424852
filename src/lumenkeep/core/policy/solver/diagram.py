"""Functions of a child's place on every axis, as decision diagrams.

A diagram asks for one place after another, in the order of the axes, and skips an axis
that makes no difference; equal parts of it are one. Its size follows the rules, not the
number of children: a grid of a million million points stays small.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterator, Sequence

Node = int
Box = tuple[tuple[int, ...], ...]
"""The places that it takes on each axis, in order."""


class Diagrams:
    """All diagrams over the same axes; two that say the same are one number.

    Parameters
    ----------
    sizes
        How many places each axis has.
    """

    def __init__(self, sizes: Sequence[int]) -> None:
        self.sizes = tuple(sizes)
        self._levels: list[int] = []
        self._kids: list[tuple[Node, ...]] = []
        self._values: dict[Node, Hashable] = {}
        self._leaves: dict[tuple[type, Hashable], Node] = {}
        self._nodes: dict[tuple[int, tuple[Node, ...]], Node] = {}
        self._made: dict[Any, Node] = {}
        self._boxes: dict[Box, Node] = {}
        self.no, self.yes = self.leaf(value=False), self.leaf(value=True)

    def leaf(self, value: Hashable) -> Node:
        """Return the diagram that is one value everywhere."""
        key = (type(value), value)
        if key not in self._leaves:
            self._leaves[key] = self._new(len(self.sizes), ())
            self._values[self._leaves[key]] = value
        return self._leaves[key]

    def along(self, axis: int, values: Sequence[Hashable]) -> Node:
        """Return the diagram that hangs on one axis alone, with a value a place."""
        return self._node(axis, tuple(self.leaf(value) for value in values))

    def _new(self, level: int, kids: tuple[Node, ...]) -> Node:
        self._levels.append(level)
        self._kids.append(kids)
        return len(self._levels) - 1

    def _node(self, level: int, kids: tuple[Node, ...]) -> Node:
        if all(kid == kids[0] for kid in kids):
            return kids[0]
        key = (level, kids)
        if key not in self._nodes:
            self._nodes[key] = self._new(level, kids)
        return self._nodes[key]

    # ------------------------------------------------------------- reading

    def level(self, node: Node) -> int:
        """Return the axis that a diagram asks for first; past the last if it is a leaf."""
        return self._levels[node]

    def kids(self, node: Node) -> tuple[Node, ...]:
        """Return what follows at each place of that axis."""
        return self._kids[node]

    def value(self, node: Node) -> Hashable:
        """Return the value of a leaf."""
        return self._values[node]

    def at(self, node: Node, point: Sequence[int]) -> Hashable:
        """Return the value at a point."""
        while self._kids[node]:
            node = self._kids[node][point[self._levels[node]]]
        return self._values[node]

    def reached(self, node: Node) -> Iterator[Node]:
        """Yield every part of a diagram once, leaves too."""
        seen, left = {node}, [node]
        while left:
            here = left.pop()
            yield here
            fresh = [kid for kid in set(self._kids[here]) if kid not in seen]
            seen.update(fresh)
            left += fresh

    def examples(self, node: Node) -> dict[Hashable, tuple[int, ...]]:
        """Return one point for each value, the first on every axis that is free."""
        kept: dict[Node, dict[Node, dict[int, int]]] = {}

        def of(here: Node) -> dict[Node, dict[int, int]]:
            if here not in kept:
                found: dict[Node, dict[int, int]] = {}
                if not self._kids[here]:
                    found[here] = {}
                for place, kid in enumerate(self._kids[here]):
                    for leaf, way in of(kid).items():
                        found.setdefault(leaf, {self._levels[here]: place, **way})
                kept[here] = found
            return kept[here]

        return {
            self._values[leaf]: tuple(way.get(n, 0) for n in range(len(self.sizes)))
            for leaf, way in of(node).items()
        }

    def first(self, node: Node, *, last: bool = False) -> tuple[int, ...]:
        """Return the first point at which it holds, or the last; it must somewhere."""
        point = [0] * len(self.sizes)
        while node != self.yes:
            kids = self._kids[node]
            places = range(len(kids))
            order = reversed(places) if last else places
            place = next(n for n in order if kids[n] != self.no)
            point[self._levels[node]], node = place, kids[place]
        return tuple(point)

    # ------------------------------------------------------------- working

    def apply(
        self, name: str, work: Callable[[Any, Any], Hashable], one: Node, two: Node
    ) -> Node:
        """Return ``work`` of two diagrams, point by point; ``name`` tells works apart."""
        key = (name, one, two)
        if key in self._made:
            return self._made[key]
        level = min(self._levels[one], self._levels[two])
        if level == len(self.sizes):
            made = self.leaf(work(self._values[one], self._values[two]))
        else:
            kids = zip(self._below(one, level), self._below(two, level), strict=True)
            made = self._node(
                level, tuple(self.apply(name, work, a, b) for a, b in kids)
            )
        self._made[key] = made
        return made

    def _below(self, node: Node, level: int) -> tuple[Node, ...]:
        if self._levels[node] == level:
            return self._kids[node]
        return (node,) * self.sizes[level]

    def told(self, node: Node, say: Callable[[Any], Hashable]) -> Node:
        """Return a diagram with another value in place of each."""
        kept: dict[Node, Node] = {}

        def of(here: Node) -> Node:
            if here not in kept:
                kids = self._kids[here]
                kept[here] = (
                    self._node(self._levels[here], tuple(of(kid) for kid in kids))
                    if kids
                    else self.leaf(say(self._values[here]))
                )
            return kept[here]

        return of(node)

    def both(self, one: Node, two: Node) -> Node:
        """Return where both hold."""
        if self.no in (one, two):
            return self.no
        if one == two or two == self.yes:
            return one
        return two if one == self.yes else self._split("both", self.both, one, two)

    def either(self, one: Node, two: Node) -> Node:
        """Return where one of them holds."""
        if self.yes in (one, two):
            return self.yes
        if one == two or two == self.no:
            return one
        return two if one == self.no else self._split("or", self.either, one, two)

    def without(self, one: Node, two: Node) -> Node:
        """Return where the first holds and the second does not."""
        if one in (self.no, two) or two == self.yes:
            return self.no
        if two == self.no:
            return one
        return self._split("without", self.without, one, two)

    def _split(
        self, name: str, work: Callable[[Node, Node], Node], one: Node, two: Node
    ) -> Node:
        """Return a work of two diagrams, place by place of the first axis of either."""
        key = (name, one, two)
        made = self._made.get(key)
        if made is None:
            level = min(self._levels[one], self._levels[two])
            ones, twos = self._below(one, level), self._below(two, level)
            made = self._node(level, tuple(map(work, ones, twos)))
            self._made[key] = made
        return made

    def opposite(self, node: Node) -> Node:
        """Return where it does not hold."""
        return self.without(self.yes, node)

    def together(self, parts: Sequence[Node]) -> Node:
        """Return all parts at once, as a tuple."""
        whole = self.leaf(())
        for part in parts:
            whole = self.apply("with", lambda before, one: (*before, one), whole, part)
        return whole

    # ------------------------------------------------------------- boxes

    def in_box(self, box: Box) -> Node:
        """Return where a point lies in a box."""
        if box in self._boxes:
            return self._boxes[box]
        made = self.yes
        for axis in reversed(range(len(self.sizes))):
            if len(box[axis]) < self.sizes[axis]:
                kids = [self.no] * self.sizes[axis]
                for place in box[axis]:
                    kids[place] = made
                made = self._node(axis, tuple(kids))
        self._boxes[box] = made
        return made

    def holds_in(self, node: Node, box: Box) -> bool:
        """Return whether it holds at every point of a box."""
        held: set[Node] = {self.yes}
        left = [node]
        while left:
            here = left.pop()
            if here in held:
                continue
            if here == self.no:
                return False
            held.add(here)
            kids = self._kids[here]
            left += [kids[place] for place in box[self._levels[here]]]
        return True

    def count(self, node: Node) -> int:
        """Return at how many points it holds."""
        kept: dict[Node, int] = {self.no: 0, self.yes: 1}
        sizes, levels = self.sizes, self._levels

        def between(first: int, last: int) -> int:
            product = 1
            for level in range(first, last):
                product *= sizes[level]
            return product

        def of(here: Node) -> int:
            if here not in kept:
                next_ = levels[here] + 1
                kept[here] = sum(
                    of(kid) * between(next_, levels[kid]) for kid in self._kids[here]
                )
            return kept[here]

        return of(node) * between(0, levels[node])
