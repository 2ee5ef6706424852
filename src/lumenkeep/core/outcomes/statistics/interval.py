"""A number with its limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

LEVEL = 0.95
MOST_DOUBLINGS = 200


@dataclass(frozen=True, slots=True)
class Limits:
    """Lower and upper limit; ``low`` is None where none is given."""

    low: float | None
    high: float | None

    def scaled(self, factor: float) -> Limits:
        """Return the limits times ``factor``."""
        return Limits(
            None if self.low is None else self.low * factor,
            None if self.high is None else self.high * factor,
        )


def tail(level: float) -> float:
    """Return the chance left outside on each side."""
    return (1.0 - level) / 2.0


def root(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a falling or rising function crosses zero between two places."""
    from scipy.optimize import brentq

    return float(brentq(function, low, high, xtol=1e-12, rtol=1e-14, maxiter=500))


def bracket_above(function: Callable[[float], float], start: float) -> float:
    """Return a place above ``start`` where the sign of a function has changed."""
    high = start
    sign = function(start) > 0
    for _ in range(MOST_DOUBLINGS):
        high = high * 2.0 + 1.0
        if (function(high) > 0) != sign:
            return high
    raise ArithmeticError("no change of sign was found")
