"""Times and what ended them, counted at each distinct time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Wholes: TypeAlias = NDArray[np.int64]
Numbers: TypeAlias = Sequence[float] | NDArray[np.generic]

CENSORED = 0
"""The cause of a time that no event ended: it was still going on."""


@dataclass(frozen=True, slots=True, eq=False)
class Counted:
    """How many were at risk, and what happened, at each distinct time.

    Attributes
    ----------
    times
        Distinct times at which something happened, ascending, shape ``(n_times,)``.
    at_risk
        Still going on just before each time, shape ``(n_times,)``.
    events
        Events of any cause at each time, shape ``(n_times,)``.
    by_cause
        Events of each cause, shape ``(n_causes, n_times)``; row 0 is cause 1.
    total
        How many there are in all.
    """

    times: Floats
    at_risk: Floats
    events: Floats
    by_cause: Floats
    total: int

    def still_at(self, time: float) -> int:
        """Return how many were still going on just before ``time``."""
        place = int(np.searchsorted(self.times, time, side="left"))
        return int(self.at_risk[place]) if place < len(self.times) else 0

    def decided_before(self, time: float) -> int:
        """Return how many are known to have ended before ``time``, or not to have."""
        place = int(np.searchsorted(self.times, time, side="left"))
        return self.still_at(time) + int(self.events[:place].sum())

    @property
    def decided(self) -> Floats:
        """How many have ended before each time or are still going on then."""
        return self.at_risk + np.cumsum(self.events) - self.events


def count(times: Numbers, causes: Numbers, n_causes: int | None = None) -> Counted:
    """Return what happened at each time.

    Parameters
    ----------
    times
        How long each lasted, 0 or more, in one unit, shape ``(n,)``.
    causes
        What ended each: 0 nothing yet (censored), 1 and up the causes; for one cause
        plain true and false will do. Shape ``(n,)``.
    n_causes
        How many causes there can be; None takes the greatest that is there.

    Raises
    ------
    ValueError
        There is none, a time is below 0 or no number, or a cause is not whole or out
        of range: each would count wrongly without a sound.
    """
    lasted, ended = checked(times, causes)
    most = int(ended.max()) if n_causes is None else n_causes
    if ended.min() < CENSORED or ended.max() > most:
        raise ValueError(f"causes must be whole numbers from 0 to {most}")
    distinct, place = distinct_times(lasted)
    width = len(distinct)
    gone = np.bincount(place, minlength=width)
    at_risk = len(lasted) - np.concatenate(([0], np.cumsum(gone)[:-1]))
    by_cause = np.empty((max(most, 1), width))
    for row in range(len(by_cause)):
        by_cause[row] = np.bincount(place[ended == row + 1], minlength=width)
    return Counted(
        distinct,
        at_risk.astype(np.float64),
        by_cause.sum(axis=0),
        by_cause,
        len(lasted),
    )


def checked(times: Numbers, causes: Numbers) -> tuple[Floats, Wholes]:
    """Return times and causes as arrays of one length.

    Raises
    ------
    ValueError
        As for `count`.
    """
    lasted = np.asarray(times, dtype=np.float64)
    raw = np.asarray(causes, dtype=np.float64)
    if lasted.ndim != 1 or lasted.shape != raw.shape:
        raise ValueError(f"{lasted.size} times and {raw.size} ends do not go together")
    if not len(lasted):
        raise ValueError("there is no time at all")
    if not (np.isfinite(lasted).all() and (lasted >= 0.0).all()):
        raise ValueError("times must be numbers, 0 or more")
    ended = np.rint(raw).astype(np.int64) if np.isfinite(raw).all() else None
    if ended is None or not (ended == raw).all():
        raise ValueError("ends must be whole numbers")
    return lasted, ended


def distinct_times(lasted: Floats) -> tuple[Floats, Wholes]:
    """Return the distinct times, and the place of each time among them."""
    order = np.argsort(lasted)
    inside = lasted[order]
    is_new = np.concatenate(([True], inside[1:] != inside[:-1]))
    place = np.empty(len(lasted), dtype=np.int64)
    place[order] = np.cumsum(is_new) - 1
    return inside[is_new], place
