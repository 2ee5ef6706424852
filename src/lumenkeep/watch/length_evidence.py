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
is needed for that; `tests/unit/watch` simulates it all the same.

References
----------
.. [1] J. Ville, Étude critique de la notion de collectif, 1939, ch. 5 (the inequality).
.. [2] A. Wald, Sequential tests of statistical hypotheses, Annals of Mathematical
   Statistics 16 (1945) 117-186 (stopping at 1/alpha).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class MeasuringError:
    """What is known of the measuring; lengths in mm, shares between 0 and 1.

    Attributes
    ----------
    sd
        Standard deviation of one measurement.
    other_arm_sd
        Standard deviation of what another position of the arm adds.
    usual_move
        How far a line moves when it does (standard deviation of the step).
    moves
        Share of lines that have moved from one measurement to the next.
    """

    sd: float
    other_arm_sd: float
    usual_move: float
    moves: float


@dataclass(frozen=True, slots=True)
class Step:
    """A step before one measurement: how likely there, and how large.

    Attributes
    ----------
    after
        How many measurements lie before it.
    weight
        Its share of the evidence for a step at all, between 0 and 1.
    mm, sd
        Size (mm, positive outward) and its standard deviation, if the step is there.
    """

    after: int
    weight: float
    mm: float
    sd: float


@dataclass(frozen=True, slots=True)
class Evidence:
    """What lengths say about a shift; ``ratio`` 1 says nothing either way."""

    ratio: float
    steps: tuple[Step, ...]

    @property
    def likeliest(self) -> Step | None:
        """The step that explains the lengths best; None with fewer than two."""
        return max(self.steps, key=lambda step: step.weight, default=None)


def shift_evidence(
    lengths_mm: Sequence[float], arms: Sequence[str | None], error: MeasuringError
) -> Evidence:
    """Return the evidence for one step in the lengths.

    Parameters
    ----------
    lengths_mm
        In the order of measuring, shape ``(n,)`` (mm).
    arms
        Position of the arm at each, shape ``(n,)``; None (not charted) counts as the
        first one's.
    error
        What is known of the measuring.
    """
    n = len(lengths_mm)
    if n <= 1:
        return Evidence(1.0, ())
    y = np.asarray(lengths_mm, dtype=float)
    step_y, step_one, step_step, one_one, one_y = _weighed(y - y[0], arms, error)
    # With the level integrated out, only what is at right angles to it is left.
    spread = step_step - step_one**2 / one_one
    pull = step_y - step_one * one_y / one_one
    # 1 + tau^2 A, whatever the units; the log keeps leaps of many sd finite.
    wide = error.usual_move**2
    log_ratio = (wide * pull**2 / (1 + wide * spread) - np.log1p(wide * spread)) / 2
    before = np.arange(n - 1)
    log_prior = np.log(error.moves) + before * np.log1p(-error.moves)
    none_yet = (1 - error.moves) ** (n - 1)
    logs = log_ratio + log_prior
    top = float(logs.max())
    shares = np.exp(logs - top)
    with np.errstate(over="ignore"):
        ratio = float(np.exp(top) * shares.sum() + none_yet)
    # How far is said from the lengths alone, not drawn towards 0 by what is usual.
    size = pull / spread
    deviation = 1 / np.sqrt(spread)
    weights = shares / shares.sum()
    steps = tuple(
        Step(k + 1, float(weights[k]), float(size[k]), float(deviation[k]))
        for k in range(n - 1)
    )
    return Evidence(ratio, steps)


def _weighed(
    y: NDArray[np.float64], arms: Sequence[str | None], error: MeasuringError
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], float, float]:
    """Return products with the inverse of the lengths' covariance.

    Of each step (1 after it, 0 before) with the lengths, with the constant and with
    itself; of the constant with itself and with the lengths. The covariance is
    ``sd^2 I`` plus one block for each other position of the arm, so its inverse is
    known in closed form and all of this takes time in proportion to ``n``.
    """
    plain = 1 / error.sd**2
    n = len(y)
    step_step = plain * np.arange(n - 1, 0, -1, dtype=float)
    step_one = step_step.copy()
    step_y = plain * _after(y)
    one_one, one_y = plain * n, plain * float(y.sum())
    first = arms[0]
    for arm in sorted({a for a in arms if a is not None and a != first}):
        if first is None:
            break
        here = np.array([a == arm for a in arms], dtype=float)
        count, sum_here = float(here.sum()), float((here * y).sum())
        variance = error.sd**2
        block = error.other_arm_sd**2
        less = block / (variance * (variance + count * block))
        count_after = _after(here)
        step_step -= less * count_after**2
        step_one -= less * count_after * count
        step_y -= less * count_after * sum_here
        one_one -= less * count**2
        one_y -= less * count * sum_here
    return step_y, step_one, step_step, one_one, one_y


def _after(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the sum of what lies after each place where a step may be."""
    return np.cumsum(values[::-1])[::-1][1:]
