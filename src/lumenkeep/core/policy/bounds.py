"""What can be at all: bounds of the world, beyond which a value is a slip of the pen.

They are no clinical limits. They say of a length, a mass or a count where two numbers
ran together or a unit was mistaken, and they are one everywhere: in forms, in the
guide, in files, in the demo and in the proof. A set of rules may not move them
unawares (see `lumenkeep.core.policy.world`).
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.core.policy.rules import Rule

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime, timedelta

    from lumenkeep.core.model import Birth


@dataclass(frozen=True, slots=True)
class Band:
    """Bounds that hold from an age (whole days, 24 hours each) up to the next band."""

    days: int
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Bound(Rule):
    """The least and the greatest that a value can be, both believed.

    Attributes
    ----------
    low, high
        At any age; in the unit the engines count in (mm, g, count, days).
    unit
        As written.
    start
        First day it holds, as every number of a policy has one.
    bands
        Bounds by age, youngest first; empty where age makes no difference.
    restates
        Whether a set says openly that its own counts instead of the world's.
    """

    low: float
    high: float
    unit: str
    start: str
    bands: tuple[Band, ...]
    restates: bool

    @property
    def span(self) -> tuple[float, float]:
        """Least and greatest at any age."""
        return self.low, self.high

    @property
    def counts(self) -> tuple[int, int]:
        """Least and greatest of what is counted in whole numbers."""
        return int(self.low), int(self.high)

    @property
    def says(self) -> tuple[object, ...]:
        """What makes two bounds the same, whoever wrote them down."""
        return self.low, self.high, self.unit, self.bands

    def at_age(self, youngest: timedelta, oldest: timedelta) -> tuple[float, float]:
        """Return the least and greatest that can be somewhere between two ages.

        Parameters
        ----------
        youngest, oldest
            Least and greatest age (elapsed); the same where the birth is exact.
        """
        if not self.bands:
            return self.span
        starts = [band.days for band in self.bands]
        first = max(bisect_right(starts, youngest.days) - 1, 0)
        last = max(bisect_right(starts, oldest.days), first + 1)
        held = self.bands[first:last]
        return min(band.low for band in held), max(band.high for band in held)

    def of_child(self, born: Birth | None, at: datetime) -> tuple[float, float]:
        """Return the least and greatest that can be of a child at an instant (UTC).

        Parameters
        ----------
        born
            None where the birth is not on record.
        """
        if born is None:
            return self.span
        return self.at_age(at - born.latest, at - born.earliest)


def at_any_age(*bounds: Mapping[str, Bound]) -> dict[str, Bound]:
    """Return the bounds without what age adds, for children who stand for a region.

    Two sets are compared over a grid on which every fact goes with every other. Of
    several the widest counts: what one of them believes is compared.
    """
    found: dict[str, Bound] = {}
    for id_, bound in (pair for one in bounds for pair in one.items()):
        known = found.get(id_, bound)
        found[id_] = replace(
            known,
            low=min(known.low, bound.low),
            high=max(known.high, bound.high),
            bands=(),
        )
    return found
