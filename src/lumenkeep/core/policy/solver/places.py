"""The pieces of an axis of a grid, and when a child has reached an age."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import z3

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.policy.solver.epoch import Epoch

Cut = tuple[float, bool] | None
"""A limit, and whether the piece that begins or ends there does so just above it."""


@dataclass(frozen=True, slots=True)
class AxisPlace:
    """One piece of an axis.

    Attributes
    ----------
    start, end
        Words for where it begins and ends; None for the first and the last piece.
    formula
        What it is to lie here, over the grid's symbolic child.
    stands
        The value of the example: what goes into a case.
    choices
        Of an axis of words, those that lie here.
    low, high
        Of an axis of numbers, its limits, each with whether it lies just above.
    met, unmet
        Of the axis of ages, the limits reached and those not yet.
    """

    start: str | None
    end: str | None
    formula: z3.BoolRef
    stands: Any
    choices: tuple[str, ...] = ()
    low: Cut = None
    high: Cut = None
    met: tuple[Any, ...] = ()
    unmet: tuple[Any, ...] = ()

    def holds(self, value: float) -> bool:
        """Return whether a number lies here."""
        is_above = self.low is None or value > self.low[0]
        is_above |= self.low is not None and not self.low[1] and value == self.low[0]
        is_below = self.high is None or value < self.high[0]
        is_below |= self.high is not None and self.high[1] and value == self.high[0]
        return is_above and is_below


@dataclass(frozen=True, slots=True)
class FactAxis:
    """One fact and its places in order."""

    fact: str
    places: tuple[AxisPlace, ...]


def instants_between(
    born: datetime, met: Sequence[Any], unmet: Sequence[Any], epoch: Epoch
) -> tuple[datetime, datetime | None]:
    """Return the first instant at which ages are reached, and the first past all."""
    starts = [limit.after(born, UTC) for limit in met]
    ends = [limit.after(born, UTC) for limit in unmet]
    first = max([*starts, born, epoch.start])
    return first, min([*ends, *([epoch.end] if epoch.end else [])], default=None)
