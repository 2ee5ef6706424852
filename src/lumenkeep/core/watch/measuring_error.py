r"""How far one measurement of external length lies from the truth, from pairs of them.

Two people measure one line, the arm alike, one soon after the other. The line has not
moved meanwhile, so their difference is error alone: with differences :math:`d_1 … d_n`
one measurement has the standard deviation :math:`\sqrt{\sum d_i^2 / 2n}`. With normal
errors :math:`\sum d_i^2 / 2\sigma^2` has a chi-square distribution with :math:`n` degrees
of freedom, which gives exact limits. A person who always reads longer than the other is
part of the error, as in the chart.

References
----------
.. [1] G. Dahlberg, Statistical methods for medical and biological students, London
   1940, pages 122 to 132 (the error of one measurement from double ones; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.entry import Entry

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import timedelta


LENGTH = "external_length_mm"


@dataclass(frozen=True, slots=True)
class LengthPair:
    """Two lengths of one line by two people, one soon after the other."""

    first: Entry
    second: Entry

    @property
    def difference_mm(self) -> float:
        """The second less the first (mm)."""
        return float(self.second.body[LENGTH]) - float(self.first.body[LENGTH])


@dataclass(frozen=True, slots=True)
class Spread:
    """The standard deviation of one measurement, its limits (mm), and of how many pairs."""

    sd: float
    low: float
    high: float
    pairs: int


def pairs_of_line(
    entries: Sequence[Entry], within: timedelta, *, asks_arm: bool
) -> Iterator[LengthPair]:
    """Yield the pairs of a line, each length in one of them at most.

    Parameters
    ----------
    entries
        Of one line, those that stand, in the order in which they were so.
    within
        How soon after the first the second must be.
    asks_arm
        Whether how the arm lay matters: then both must say it, and the same.
    """
    waiting: Entry | None = None
    for entry in entries:
        if not isinstance(entry.body.get(LENGTH), int | float):
            continue
        if waiting is not None and _is_pair(waiting, entry, within, asks_arm=asks_arm):
            yield LengthPair(waiting, entry)
            waiting = None
        else:
            waiting = entry


def _is_pair(first: Entry, second: Entry, within: timedelta, *, asks_arm: bool) -> bool:
    arms = first.body.get("arm") or None, second.body.get("arm") or None
    is_alike = arms[0] == arms[1] and not (asks_arm and arms[0] is None)
    is_soon = second.happened_at - first.happened_at <= within
    return is_alike and is_soon and first.by != second.by


def measuring_error(
    differences_mm: Sequence[float], *, level: float = 0.95
) -> Spread | None:
    """Return the error of one measurement from differences of pairs; None without any.

    Parameters
    ----------
    differences_mm
        Of each pair (mm), shape ``(n,)``.
    level
        Coverage of the limits, between 0 and 1.

    Examples
    --------
    >>> found = measuring_error([2.0, -2.0, 4.0, 0.0, -4.0])
    >>> f"{found.sd:.2f} ({found.low:.2f} to {found.high:.2f})"
    '2.00 (1.25 to 4.91)'
    """
    from scipy.special import gammaincinv

    n = len(differences_mm)
    if n == 0:
        return None
    squares = sum(d * d for d in differences_mm) / 2
    tail = (1 - level) / 2
    low, high = (
        (squares / (2 * float(gammaincinv(n / 2, share)))) ** 0.5
        for share in (1 - tail, tail)
    )
    return Spread((squares / n) ** 0.5, low, high, n)
