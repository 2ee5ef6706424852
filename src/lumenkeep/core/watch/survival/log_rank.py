"""Tests whether groups end at the same pace, with weights chosen beforehand.

Weights say which part of the time counts most. Where curves cross, they decide the
answer, so they must be chosen before anybody has looked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lumenkeep.core.watch.survival.counted import Floats, Numbers, checked, count

if TYPE_CHECKING:
    from collections.abc import Callable

WEIGHTS = {
    "log-rank": "every time alike",
    "gehan": "early times, by how many are at risk",
    "tarone-ware": "early times, by the root of how many are at risk",
    "peto-peto": "early times, by the share still going on",
    "fleming-harrington": "early times with p, late ones with q",
}


@dataclass(frozen=True, slots=True)
class GroupCount:
    """A group: how many, its events, and those expected if all groups were alike."""

    n: int
    observed: float
    expected: float


@dataclass(frozen=True, slots=True)
class GroupTest:
    """A test of groups.

    Attributes
    ----------
    weights, p, q
        Which weights; ``p`` and ``q`` are set for Fleming and Harrington's only.
    groups
        Unweighted counts, in the order of the group numbers.
    score, variance
        Weighted observed less expected of the first group, and its variance.
    chi_square, degrees, p_value
        None where there is nothing to compare, and ``caution`` says why.
    """

    weights: str
    p: float | None
    q: float | None
    groups: tuple[GroupCount, ...]
    score: float
    variance: float
    chi_square: float | None
    degrees: int
    p_value: float | None
    caution: str | None


def compare_groups(
    times: Numbers,
    events: Numbers,
    groups: Numbers,
    weights: str = "log-rank",
    p: float = 0.0,
    q: float = 0.0,
) -> GroupTest:
    """Return a weighted log-rank test of two or more groups.

    Parameters
    ----------
    times
        How long each lasted, shape ``(n,)``.
    events
        True where the event asked about ended it; everything else is as if still
        waiting, shape ``(n,)``.
    groups
        Whole numbers from 0, shape ``(n,)``.
    weights
        One of `WEIGHTS`.
    p, q
        Powers of Fleming and Harrington's weights, 0 or more.

    Raises
    ------
    ValueError
        No such weights, a power below 0, or arrays that do not go together.

    References
    ----------
    .. [1] J. P. Klein and M. L. Moeschberger, Survival Analysis (1997), chapter 7, for
       all weights. From memory.
    """
    if weights not in WEIGHTS:
        raise ValueError(f"weights must be one of: {', '.join(WEIGHTS)}")
    if p < 0.0 or q < 0.0:
        raise ValueError("powers must be 0 or more")
    lasted, ended = checked(times, events)
    _, number = checked(times, groups)
    all_counted = count(lasted, ended > 0)
    here = all_counted.events > 0
    n, d = all_counted.at_risk[here], all_counted.events[here]
    when = all_counted.times[here]
    own = [number == group for group in range(int(number.max()) + 1)]
    n_by = np.array([_at_risk(lasted[mine], when) for mine in own])
    d_by = np.array([_events(lasted[mine & (ended > 0)], when) for mine in own])
    weight = _WEIGH[weights](n, d, p, q)
    expected = n_by * d / n
    spread = np.divide(d * (n - d), n - 1.0, out=np.zeros_like(n), where=n > 1.0)
    shares = n_by / n
    covariance = (
        np.diag((shares * (weight**2 * spread)).sum(axis=1))
        - (shares * (weight**2 * spread)) @ shares.T
    )
    score = ((d_by - expected) * weight).sum(axis=1)
    chi_square, degrees, caution = _chi_square(score, covariance, expected.sum(axis=1))
    is_fleming = weights == "fleming-harrington"
    return GroupTest(
        weights,
        p if is_fleming else None,
        q if is_fleming else None,
        tuple(
            GroupCount(int(mine.sum()), float(seen), float(hoped))
            for mine, seen, hoped in zip(
                own, d_by.sum(axis=1), expected.sum(axis=1), strict=True
            )
        ),
        float(score[0]),
        float(covariance[0, 0]),
        chi_square,
        degrees,
        _p_value(chi_square, degrees),
        caution,
    )


def _at_risk(lasted: Floats, when: Floats) -> Floats:
    inside = np.sort(lasted)
    gone = np.searchsorted(inside, when, side="left")
    return (len(inside) - gone).astype(np.float64)


def _events(lasted: Floats, when: Floats) -> Floats:
    place = np.searchsorted(when, lasted)
    return np.bincount(place, minlength=len(when)).astype(np.float64)


def _chi_square(
    score: Floats, covariance: Floats, expected: Floats
) -> tuple[float | None, int, str | None]:
    """Return the statistic over the groups that could have had an event at all."""
    real = np.flatnonzero(expected > 0.0)
    if len(real) < 2:  # noqa: PLR2004  a comparison takes two
        return None, 0, "Fewer than two groups had anybody at risk at an event."
    kept = real[:-1]
    inner = covariance[np.ix_(kept, kept)]
    if not np.isfinite(inner).all() or np.linalg.matrix_rank(inner) < len(kept):
        return None, len(kept), "The groups were never at risk side by side."
    value = float(score[kept] @ np.linalg.solve(inner, score[kept]))
    return value, len(kept), None


def _p_value(chi_square: float | None, degrees: int) -> float | None:
    from scipy.special import chdtrc

    return None if chi_square is None else float(chdtrc(degrees, chi_square))


def _survival_before(n: Floats, d: Floats) -> Floats:
    return np.concatenate(([1.0], np.cumprod((n - d) / n)[:-1]))


def _fleming(n: Floats, d: Floats, p: float, q: float) -> Floats:
    before = _survival_before(n, d)
    return np.asarray(before**p * (1.0 - before) ** q)


def _peto(n: Floats, d: Floats) -> Floats:
    """Return Peto's estimate of survival, which no event brings to 0."""
    return np.cumprod((n + 1.0 - d) / (n + 1.0), dtype=np.float64)


_WEIGH: dict[str, Callable[[Floats, Floats, float, float], Floats]] = {
    "log-rank": lambda n, _d, _p, _q: np.ones_like(n),
    "gehan": lambda n, _d, _p, _q: n,
    "tarone-ware": lambda n, _d, _p, _q: np.sqrt(n),
    "peto-peto": lambda n, d, _p, _q: _peto(n, d),
    "fleming-harrington": _fleming,
}
