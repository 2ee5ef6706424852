"""Postmenstrual age among the axes: a sum, so not every place goes with every other.

Age, gestation and their sum each have an axis. At most points of the three there is no
child; where there is one, its birth, instant and gestation are found together.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import z3

from lumenkeep.core.policy.solver.places import instants_between

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from lumenkeep.core.policy.solver.diagram import Diagrams, Node
    from lumenkeep.core.policy.solver.epoch import Epoch
    from lumenkeep.core.policy.solver.places import AxisPlace, FactAxis

    Found = tuple[datetime, datetime, int]

POSTMENSTRUAL = "postmenstrual_age"
_MINUTE = timedelta(minutes=1)


class Sums:
    """Which places of age, gestation and postmenstrual age a child can have together.

    Parameters
    ----------
    axes
        All axes of the grid, these three among them.
    epoch
        Stretch of days in which the examples are asked about.
    gestations
        Least and greatest gestation at birth (days).
    can_be
        Whether the solver knows such a child.
    """

    def __init__(
        self,
        axes: Sequence[FactAxis],
        epoch: Epoch,
        gestations: tuple[int, int],
        can_be: Callable[[z3.BoolRef], bool],
    ) -> None:
        self._axes, self._epoch, self._gestations = axes, epoch, gestations
        facts = [axis.fact for axis in axes]
        self._numbers = [
            facts.index(fact) for fact in ("age", "gestation_at_birth", POSTMENSTRUAL)
        ]
        ages, gestation_places, sums = (axes[n].places for n in self._numbers)
        self._found: dict[tuple[int, int, int], Found] = {}
        for a, age in enumerate(ages):
            for g, gestation in enumerate(gestation_places):
                for s, total in enumerate(sums):
                    all_three = z3.And(age.formula, gestation.formula, total.formula)
                    if can_be(all_three):
                        found = self._example(age, gestation, total)
                        if found is not None:
                            self._found[a, g, s] = found

    def _example(
        self, age: AxisPlace, gestation: AxisPlace, total: AxisPlace
    ) -> Found | None:
        """Return birth, instant and gestation (days) of a child of these places.

        The solver does not know how long a month is; every birth day of some years is
        tried, and where none will do there is no such child.
        """
        low, high = self._gestations
        inside = [days for days in range(low, high + 1) if gestation.holds(days)]
        for born in self._epoch.every_birth():
            for days in self._near(born, inside, age, total):
                at = self._instant(born, days, age, total)
                if at is not None:
                    return born, at, days
        return None

    def _near(
        self, born: datetime, inside: Sequence[int], age: AxisPlace, total: AxisPlace
    ) -> list[int]:
        """Return the gestations worth trying: the ends, and where the sum just fits."""
        first, _ = instants_between(born, age.met, age.unmet, self._epoch)
        days = (first - born).days
        ends = [int(cut[0]) - days for cut in (total.low, total.high) if cut]
        tried = {inside[0], inside[-1], *(e + n for e in ends for n in (-1, 0, 1))}
        return [one for one in inside if one in tried]

    def _instant(
        self, born: datetime, days: int, age: AxisPlace, total: AxisPlace
    ) -> datetime | None:
        first, last = instants_between(born, age.met, age.unmet, self._epoch)
        if total.low is not None:
            begins = born + timedelta(days=total.low[0] - days)
            first = max(first, begins + _MINUTE if total.low[1] else begins)
        if total.high is not None:
            ends = born + timedelta(days=total.high[0] - days)
            ends = ends + _MINUTE if total.high[1] else ends
            last = ends if last is None else min(last, ends)
        return first if last is None or first < last else None

    def possible(self, over: Diagrams) -> Node:
        """Return at which points there can be a child."""
        found = over.no
        everywhere = [tuple(range(size)) for size in over.sizes]
        for places in self._found:
            box = list(everywhere)
            for number, place in zip(self._numbers, places, strict=True):
                box[number] = (place,)
            found = over.either(found, over.in_box(tuple(box)))
        return found

    def is_one(self) -> z3.BoolRef:
        """Return that there is such a child, as a formula."""
        axes = self._axes
        return z3.Or(
            [
                z3.And(
                    [
                        axes[number].places[place].formula
                        for number, place in zip(self._numbers, places, strict=True)
                    ]
                )
                for places in self._found
            ]
        )

    def chosen(self, point: Sequence[int]) -> dict[str, Any]:
        """Return birth, instant and gestation of the child of a point."""
        a, g, s = (point[number] for number in self._numbers)
        born, at, days = self._found[a, g, s]
        return {"age": (born, at), "gestation_at_birth": days}

    def mended(self, point: Sequence[int], axis: int) -> list[int]:
        """Return a point at which there can be a child, with the same place of one axis."""
        for places in self._found:
            moved = list(point)
            for number, place in zip(self._numbers, places, strict=True):
                moved[number] = place
            if moved[axis] == point[axis]:
                return moved
        return list(point)
