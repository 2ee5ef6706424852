"""Where on a grid each condition of a rule book holds, as decision diagrams."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.policy.vocabulary import PLANNED_FACTS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from typing import Any

    from lumenkeep.core.policy import LiveRule, Rule, RuleBook, Situation
    from lumenkeep.core.policy.conditions import LiveComparison
    from lumenkeep.core.policy.solver.diagram import Diagrams, Node
    from lumenkeep.core.policy.solver.grid import Grid


class HeldConditions:
    """The conditions of a book over a grid.

    Parameters
    ----------
    grid, over
        The children, and the diagrams over its axes.
    book
        Whose rules they are.
    situation_of
        Reads a case at an instant.
    """

    def __init__(
        self,
        grid: Grid,
        over: Diagrams,
        book: RuleBook,
        situation_of: Callable[[dict[str, Any], str], Situation],
    ) -> None:
        self.book, self._grid, self._over = book, grid, over
        self._situations: dict[int, list[Situation]] = {}
        self._situation_of = situation_of

    def barred(self, item: str) -> Node:
        """Return where some exclusion bars an item."""
        return self.any_of(self.rule(live) for live in self.book.bars(item))

    def any_of(self, parts: Iterable[Node]) -> Node:
        """Return where one of several holds."""
        found = self._over.no
        for part in parts:
            found = self._over.either(found, part)
        return found

    def rule(
        self, live: LiveRule[Rule], planned: Mapping[str, str] | None = None
    ) -> Node:
        """Return where a rule holds.

        Of what is planned, as which dressing lies on, ``planned`` says the word; without
        it such comparisons are left out.
        """
        rows = live.when.rows
        if not rows:
            return self._over.yes
        return self.any_of(self.row(row, planned) for row in rows)

    def row(
        self, row: Sequence[LiveComparison], planned: Mapping[str, str] | None = None
    ) -> Node:
        """Return where all comparisons of a row hold."""
        found = self._over.yes
        for one in row:
            if one.fact not in PLANNED_FACTS:
                found = self._over.both(found, self._comparison(one))
            elif planned is not None:
                is_so = (planned.get(one.fact) in one.limit) is (one.test == "is")  # type: ignore[operator]  # words
                found = found if is_so else self._over.no
        return found

    def _comparison(self, one: LiveComparison) -> Node:
        if one.test in ("includes", "includes_all", "lacks"):
            return self._members(one)
        [axis] = self._grid.numbers_of(one.fact)
        truths = [one.truth(situation) for situation in self._along(axis)]
        assert None not in truths  # noqa: S101  the children of a grid are wholly known
        return self._over.along(axis, truths)

    def _members(self, one: LiveComparison) -> Node:
        """Return where a list holds one of some words, all of them, or none."""
        names = {f"{one.fact}:{word}" for word in one.limit}  # type: ignore[union-attr]  # words
        parts = [
            self._over.along(n, (False, True))
            for n, axis in enumerate(self._grid.axes)
            if axis.fact in names
        ]
        if one.test == "includes_all":
            found = self._over.yes
            for part in parts:
                found = self._over.both(found, part)
            return found
        some = self.any_of(parts)
        return self._over.opposite(some) if one.test == "lacks" else some

    def _along(self, axis: int) -> list[Situation]:
        """Return a child at every place of one axis."""
        if axis not in self._situations:
            places = range(len(self._grid.axes[axis].places))
            points = [self._grid.nearest(axis, place) for place in places]
            found = [self._situation_of(*self._grid.case(point)) for point in points]
            self._situations[axis] = found
        return self._situations[axis]
