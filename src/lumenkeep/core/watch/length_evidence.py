r"""How strongly charted lengths speak for a shift: one change point, known error.

A still line gives :math:`y_i = L + a_{p(i)} + e_i` with :math:`e_i` normal of known
standard deviation and, for another position of the arm than the first, one further
normal difference :math:`a_p` that all lengths in that position share. A line that
moved adds a step :math:`\delta \sim N(0, \tau^2)` from one measurement on. The level
:math:`L` is unknown and drops out (flat prior), so adding a constant to all lengths
changes nothing.

The *evidence* is the ratio of the two probabilities, averaged over where the step may
lie: before measurement :math:`k + 1` with weight :math:`\rho (1 - \rho)^{k-1}`, and not
yet with the rest. For a still line it is a martingale of mean 1 in the number of
measurements, so by Ville's inequality it ever reaches :math:`1/\alpha` with probability
:math:`\alpha` at most, however often the line is measured. No table and no simulation
is needed for that; `tests/unit/core/watch` simulates it all the same.

References
----------
.. [1] J. Ville, Étude critique de la notion de collectif, 1939, ch. 5 (the inequality).
.. [2] A. Wald, Sequential tests of statistical hypotheses, Annals of Mathematical
   Statistics 16 (1945) 117-186 (stopping at 1/alpha).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumenkeep.core.watch.length_values import Evidence, LengthStep, MeasuringError

LEAST_LOG = -700.0
"""Keeps the log of no evidence finite."""


@dataclass(frozen=True, slots=True)
class StepEvidence:
    """What the first lengths say about a step, for each count of them.

    Attributes
    ----------
    ends
        The counts.
    ratios
        How strongly they speak for a step, shape ``(m,)``.
    pull, spread, shares
        How far they pull each step, how firmly they hold it, and its evidence against
        that of the strongest, shape ``(m, n - 1)``.
    """

    ends: Sequence[int]
    ratios: Sequence[float]
    pull: NDArray[np.float64]
    spread: NDArray[np.float64]
    shares: NDArray[np.float64]

    def evidence(self, place: int) -> Evidence:
        """Return the evidence at one of the ends: how strong, where and how far."""
        steps = self.ends[place] - 1
        if steps < 1:
            return Evidence(1.0, ())
        pull, spread = self.pull[place, :steps], self.spread[place, :steps]
        shares = self.shares[place, :steps]
        # How far is said from the lengths alone, not drawn towards 0 by what is usual.
        told = zip(
            (shares / shares.sum()).tolist(),
            (pull / spread).tolist(),
            (1 / np.sqrt(spread)).tolist(),
            strict=True,
        )
        made = tuple(LengthStep(after, *one) for after, one in enumerate(told, start=1))
        return Evidence(self.ratios[place], made)


def hear(
    lengths_mm: Sequence[float],
    arms: Sequence[str | None],
    error: MeasuringError,
    ends: Sequence[int],
) -> StepEvidence:
    """Return what the first lengths say, for each of the ``ends`` (counts; 0 is as 1)."""
    if len(lengths_mm) <= 1:
        none = np.empty((len(ends), 0))
        return StepEvidence(ends, [1.0] * len(ends), none, none, none)
    ends = [max(end, 1) for end in ends]
    pull, spread = _pulls(lengths_mm, arms, error, ends)
    top, shares = _shares(pull, spread, error)
    ratios = _ratio(top, shares, error, ends).tolist()
    return StepEvidence(ends, ratios, pull, spread, shares)


def _shares(
    pull: NDArray[np.float64], spread: NDArray[np.float64], error: MeasuringError
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the log of the strongest step's evidence, and all of them against it."""
    # 1 + tau^2 A, whatever the units; the log keeps leaps of many sd finite.
    wide = error.usual_move**2
    log_ratio = (wide * pull**2 / (1 + wide * spread) - np.log1p(wide * spread)) / 2
    log_prior = np.log(error.moves) + np.arange(pull.shape[1]) * np.log1p(-error.moves)
    # A step that lies behind the end has no spread, and none of the weight.
    logs = np.where(spread > 0, log_ratio + log_prior, -np.inf)
    top = np.maximum(logs.max(axis=1, keepdims=True), LEAST_LOG)
    return top, np.exp(logs - top)


def _ratio(
    top: NDArray[np.float64],
    shares: NDArray[np.float64],
    error: MeasuringError,
    ends: Sequence[int],
) -> NDArray[np.float64]:
    none_yet = (1 - error.moves) ** (np.asarray(ends, dtype=float) - 1)
    with np.errstate(over="ignore"):
        ratio: NDArray[np.float64] = np.exp(top[:, 0]) * shares.sum(axis=1) + none_yet
    return ratio


def _pulls(
    lengths_mm: Sequence[float],
    arms: Sequence[str | None],
    error: MeasuringError,
    ends: Sequence[int],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return how far the lengths pull each step, and how firmly they hold it.

    Both of shape ``(m, n - 1)``: for each of the ``ends``, a step after 1, 2, …
    lengths. The covariance of the lengths is ``sd^2 I`` plus one block for each other
    position of the arm, so its inverse is known in closed form: products of a step (1
    after it, 0 before), of the constant and of the lengths are differences of sums.
    """
    y = np.asarray(lengths_mm, dtype=float)
    y = y - y[0]
    n = len(y)
    counts, sums = _summed(np.ones(n)), _summed(y)
    end = np.asarray(ends, dtype=int)[:, None]
    places = np.arange(1, n)[None, :]
    plain = 1 / error.sd**2
    step_step = plain * np.maximum(counts[end] - counts[places], 0.0)
    step_one = step_step.copy()
    is_before = places < end
    step_y = plain * (sums[end] - sums[places])
    one_one, one_y = plain * counts[end], plain * sums[end]
    for here in _other_arms(arms):
        count, total = _summed(here), _summed(here * y)
        variance, block = error.sd**2, error.other_arm_sd**2
        less = block / (variance * (variance + count[end] * block))
        after = count[end] - count[places]
        step_step -= less * after**2
        step_one -= less * after * count[end]
        step_y -= less * after * total[end]
        one_one = one_one - less * count[end] ** 2
        one_y = one_y - less * count[end] * total[end]
    # With the level integrated out, only what is at right angles to it is left.
    spread = np.where(is_before, step_step - step_one**2 / one_one, 0.0)
    return step_y - step_one * one_y / one_one, spread


def _other_arms(arms: Sequence[str | None]) -> list[NDArray[np.float64]]:
    """Return for each other position than the first's where it was (1) or not (0)."""
    first = arms[0]
    if first is None:
        return []
    others = sorted({arm for arm in arms if arm is not None and arm != first})
    return [np.array([arm == other for arm in arms], dtype=float) for other in others]


def _summed(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the sums of the first 0, 1, 2, … values."""
    return np.concatenate(([0.0], np.cumsum(values)))
