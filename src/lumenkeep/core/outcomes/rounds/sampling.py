"""Whom to visit, so that a month's share has a stated width.

The lines are drawn by lot, because lines that somebody picks are the ones that are
easy to reach. The lot is a digest of day and line, so that the plan of a day can be
drawn again and checked.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.interval import LEVEL
from lumenkeep.core.outcomes.statistics.proportions import sample_size_for_width

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable
    from datetime import date


@dataclass(frozen=True, slots=True)
class VisitPlan:
    """A month's plan, and what falls to one day.

    Attributes
    ----------
    needed
        Looks for a month's share of the stated width; counts lines that exist, so a
        small ward needs fewer than the formula for a large one says.
    done
        Looks of this month so far.
    today
        Keys of the lines to visit on the day, first the one drawn first.
    """

    needed: int
    done: int
    today: tuple[str, ...]


def looks_needed(
    expected: float,
    half_width: float,
    line_days: int | None = None,
    level: float = LEVEL,
) -> int:
    """Return how many looks give a share this half width.

    Parameters
    ----------
    expected
        Share that is expected, between 0 and 1.
    half_width
        Half of the wanted width, between 0 and 0.5.
    line_days
        All the looks there could be, one a line and day; None for very many.

    Notes
    -----
    With the correction for a finite number: n / (1 + (n - 1) / N), rounded up.
    W. G. Cochran, Sampling Techniques, chapter 4 (from memory).
    """
    needed = sample_size_for_width(expected, half_width, level)
    if line_days is None:
        return needed
    if line_days == 0:
        return 0
    return min(line_days, ceil(needed / (1 + (needed - 1) / line_days)))


def visits_of_day(
    lines: Collection[str],
    on: date,
    *,
    needed: int,
    done: int,
    days_left: int,
    visited: Iterable[str] = (),
) -> VisitPlan:
    """Return the lines to visit on one day.

    Parameters
    ----------
    lines
        Keys of the lines in place.
    needed, done
        Looks wanted for the month, and those made before this day.
    days_left
        Days of the month on which somebody walks, this one included; 1 or more.
    visited
        Lines looked at already this month; they come last, because another look at
        the same line tells less than a look at a new one.
    """
    share = ceil(max(0, needed - done) / max(1, days_left))
    again = set(visited)
    drawn = sorted(lines, key=lambda line: (line in again, _lot(on, line)))
    return VisitPlan(needed, done, tuple(drawn[:share]))


def _lot(on: date, line: str) -> str:
    return hashlib.sha256(f"{on.isoformat()} {line}".encode()).hexdigest()
