"""Cumulative sums: of a mean, of a failure rate, and of a learner's competence."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import ceil, exp, log
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

STATES = 800
LEFT_OUT, MOST_EVENTS = 1e-12, 1000
STEPS = 300


def normal_cusum_run_length(
    k: float, h: float, shift: float = 0.0, *, two_sided: bool = True
) -> float:
    """Return how many points pass until a CUSUM of a normal mean signals, on average.

    Parameters
    ----------
    k, h
        Allowance and decision limit (sigma).
    shift
        Shift of the mean (sigma).
    two_sided
        Whether a fall counts as well as a rise.

    References
    ----------
    .. [1] D. Brook and D. A. Evans, Biometrika 59 (1972) 539-549.
    """
    upward = _one_sided(k, h, shift)
    if not two_sided:
        return upward
    return 1.0 / (1.0 / upward + 1.0 / _one_sided(k, h, -shift))


def _one_sided(k: float, h: float, shift: float) -> float:
    import numpy as np
    from scipy.special import ndtr

    width = 2.0 * h / (2.0 * STATES - 1.0)
    places = np.arange(STATES) * width
    gaps = places[None, :] - places[:, None] + k - shift
    stay: NDArray[np.float64] = ndtr(gaps + width / 2.0) - ndtr(gaps - width / 2.0)
    stay[:, 0] = ndtr(gaps[:, 0] + width / 2.0)
    lengths = np.linalg.solve(np.eye(STATES) - stay, np.ones(STATES))
    return float(lengths[0])


@dataclass(frozen=True, slots=True)
class Competence:
    """A sequential test of a failure rate: step, limits, and the clean run needed."""

    s: float
    h0: float
    h1: float
    clean_run: int


def competence_limits(
    p0: float, p1: float, alpha: float = 0.1, beta: float = 0.1
) -> Competence:
    """Return step and limits of the test of an acceptable against an unacceptable rate.

    Parameters
    ----------
    p0, p1
        Acceptable and unacceptable failure rate, ``p0`` below ``p1``.
    alpha, beta
        Chance of either wrong verdict.

    References
    ----------
    .. [1] I. G. Kestin, British Journal of Anaesthesia 75 (1995) 805-809.
    """
    p, q = log(p1 / p0), log((1.0 - p0) / (1.0 - p1))
    s = q / (p + q)
    h0 = log((1.0 - alpha) / beta) / (p + q)
    h1 = log((1.0 - beta) / alpha) / (p + q)
    return Competence(s, h0, h1, ceil(h0 / s))


def competence_path(failures: Sequence[bool], s: float) -> tuple[float, ...]:
    """Return the sum after each attempt: up by 1 - s at a failure, down by s."""
    path, total = [], 0.0
    for failed in failures:
        total += 1.0 - s if failed else -s
        path.append(total)
    return tuple(path)


@dataclass(frozen=True, slots=True)
class SumPath:
    """A sum after each attempt, and the attempt (from 1) that reached the limit."""

    values: tuple[float, ...]
    signal: int | None
    success: float
    failure: float


def _floored(
    failures: Sequence[bool], success: float, failure: float, h: float
) -> SumPath:
    path: list[float] = []
    total, signal = 0.0, None
    for number, failed in enumerate(failures, 1):
        total = max(0.0, total + (failure if failed else success))
        path.append(total)
        if signal is None and total >= h:
            signal = number
    return SumPath(tuple(path), signal, success, failure)


def learning_cusum(failures: Sequence[bool], p0: float, p1: float, h: float) -> SumPath:
    """Return the path of a test whose signal says *competent*.

    Parameters
    ----------
    failures
        Attempts in order; True for a failure.
    p0, p1
        Adequate and inadequate failure rate.
    h
        Limit at which competence is taken as shown.

    Notes
    -----
    It starts from *not competent* and needs evidence for competence. Papers differ in
    sign; successes count upward here.

    References
    ----------
    .. [1] D. J. Biau and R. Porcher, Statistics in Medicine 29 (2010).
    """
    return _floored(failures, log((1.0 - p0) / (1.0 - p1)), log(p0 / p1), h)


def monitoring_cusum(
    failures: Sequence[bool], p0: float, p1: float, h: float
) -> SumPath:
    """Return the path of a test whose signal says that failures have become frequent."""
    return _floored(failures, log((1.0 - p1) / (1.0 - p0)), log(p1 / p0), h)


def poisson_cusum(
    counts: Sequence[int], expected: Sequence[float], ratio: float, h: float
) -> SumPath:
    """Return the path of a test for a rate ``ratio`` times the expected one.

    Parameters
    ----------
    counts, expected
        Events and expected events of each period.
    ratio
        Ratio to be found, above 1 for deterioration.
    h
        Decision limit.
    """
    path: list[float] = []
    total, signal = 0.0, None
    for number, (count, mean) in enumerate(zip(counts, expected, strict=True), 1):
        total = max(0.0, total + count * log(ratio) - (ratio - 1.0) * mean)
        path.append(total)
        if signal is None and total >= h:
            signal = number
    return SumPath(tuple(path), signal, -(ratio - 1.0), log(ratio))


@lru_cache(maxsize=256)
def poisson_cusum_run_length(
    mean: float, ratio: float, h: float, *, actual: float = 1.0
) -> float:
    """Return how many periods pass until `poisson_cusum` signals, on average.

    Parameters
    ----------
    mean
        Expected events of a period, the same in each.
    ratio, h
        Ratio sought and decision limit.
    actual
        Ratio that really holds; 1 gives the false alarms.

    Notes
    -----
    A chain over the sum, cut into equal steps; counts beyond any chance worth naming
    are left out.
    """
    import numpy as np

    width = h / STEPS
    places = (np.arange(STEPS) + 0.5) * width
    places[0] = 0.0
    stay: NDArray[np.float64] = np.zeros((STEPS, STEPS))
    rows = np.arange(STEPS)
    for count, chance in enumerate(_poisson_chances(mean * actual)):
        following = np.maximum(0.0, places + count * log(ratio) - (ratio - 1.0) * mean)
        column = (following / width).astype(int)
        inside = following < h
        np.add.at(stay, (rows[inside], np.minimum(column, STEPS - 1)[inside]), chance)
    lengths = np.linalg.solve(np.eye(STEPS) - stay, np.ones(STEPS))
    return float(lengths[0])


def _poisson_chances(mean: float) -> list[float]:
    """Return the chance of 0, 1, 2 … events, until what is left is not worth naming."""
    chances = [exp(-mean)]
    while sum(chances) < 1.0 - LEFT_OUT and len(chances) < MOST_EVENTS:
        chances.append(chances[-1] * mean / len(chances))
    return chances
