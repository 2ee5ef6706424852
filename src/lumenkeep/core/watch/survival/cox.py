"""Cox's model: how many times faster one kind ends than another, with limits.

Whatever makes the answer doubtful comes back with it as a sentence: it is a result, not
an error.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lumenkeep.core.watch.survival.counted import Floats, Numbers, checked
from lumenkeep.core.watch.survival.cox_sums import (
    EventRows,
    Likelihood,
    event_rows,
    likelihood,
    score_residuals,
    summed_by,
)
from lumenkeep.core.watch.survival.limits import LEVEL, normal_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

METHODS = ("efron", "breslow")
MOST_STEPS = 50
MOST_HALVINGS = 30
ENOUGH = 1e-10
RUNAWAY, RUNAWAY_SE = 12.0, 50.0
"""On covariates of unit spread no real effect is that large, or that unsure."""
EVENTS_PER_COVARIATE = 10


@dataclass(frozen=True, slots=True)
class HazardRatio:
    """A covariate: logarithm of the hazard ratio, and the ratio with its limits.

    ``is_finite`` is false where the covariate parts those with events from those
    without: then there is no ratio to be had, and these numbers are none of it.
    """

    name: str
    log_ratio: float
    se: float
    ratio: float
    low: float
    high: float
    p_value: float
    is_finite: bool = True


@dataclass(frozen=True, slots=True)
class CoxFit:
    """A fitted model; ``effects`` is empty where there is none to be had.

    Attributes
    ----------
    log_likelihood, log_likelihood_null
        Partial, at the fit and at no effect.
    cautions
        What makes the values doubtful, as sentences; empty when nothing does.
    converged
        Whether the steps came to rest.
    p_value
        Chance of such a slope at no effect, all ratios together, if none differs (score
        test, which holds where a ratio has no finite value); the greater one with
        clusters.
    """

    method: str
    n: int
    events: int
    effects: tuple[HazardRatio, ...]
    log_likelihood: float | None
    log_likelihood_null: float | None
    steps: int
    converged: bool
    cautions: tuple[str, ...]
    level: float
    p_value: float | None = None


def cox(
    times: Numbers,
    events: Numbers,
    covariates: Sequence[Sequence[float]] | NDArray[np.generic],
    names: Sequence[str],
    method: str = "efron",
    level: float = LEVEL,
    clusters: Numbers | None = None,
) -> CoxFit:
    """Return hazard ratios by the partial likelihood.

    Parameters
    ----------
    times
        How long each lasted, shape ``(n,)``.
    events
        True where the event asked about ended it, shape ``(n,)``.
    covariates
        One column a covariate, shape ``(n, n_covariates)``; few columns.
    names
        Of the columns.
    method
        How ties are handled: "efron" or "breslow".
    level
        Coverage of the limits (Wald's, on the logarithm).
    clusters
        Which belong together, whole numbers from 0, shape ``(n,)``: of the plain
        standard errors and those that know that the ones of a cluster are alike (Lin
        and Wei's) the wider count, since few clusters tell that badly. None: each
        stands alone.

    Raises
    ------
    ValueError
        No such method, or arrays that do not go together.

    References
    ----------
    .. [1] D. R. Cox, Journal of the Royal Statistical Society B 34 (1972) 187-220;
       ties: N. E. Breslow, Biometrics 30 (1974) 89-99, B. Efron, Journal of the
       American Statistical Association 72 (1977) 557-565. From memory.
    """
    if method not in METHODS:
        raise ValueError(f"the method must be one of: {', '.join(METHODS)}")
    lasted, ended = checked(times, events)
    columns = np.asarray(covariates, dtype=np.float64)
    if columns.shape != (len(lasted), len(names)) or not np.isfinite(columns).all():
        raise ValueError("covariates must be numbers, one row for each time")
    happened = int((ended > 0).sum())
    centred = columns - columns.mean(axis=0)
    scale = centred.std(axis=0)
    refusal = _refusal(happened, scale, centred, names)
    if refusal:
        return CoxFit(
            method, len(lasted), happened, (), None, None, 0,
            converged=False, cautions=(refusal,), level=level,
        )  # fmt: skip
    rows = event_rows(lasted, ended > 0, centred / scale, is_efron=method == "efron")
    climbed = _climb(rows, len(names))
    plain = np.asarray(np.linalg.pinv(climbed.information), dtype=np.float64)
    variances = [plain]
    if clusters is not None:
        variances.append(_clustered(rows, climbed, clusters, plain))
    runaway = _runaway(climbed, plain)
    cautions = _cautions(climbed, runaway, happened, names)
    effects = _effects(
        climbed.beta / scale, _widest(variances) / scale, names, runaway, level
    )
    return CoxFit(
        method,
        len(lasted),
        happened,
        effects,
        climbed.log_likelihood,
        climbed.start,
        climbed.steps,
        climbed.converged,
        cautions,
        level,
        _score_test(rows, len(names), clusters),
    )


def _clustered(
    rows: EventRows, climbed: _Climbed, clusters: Numbers, plain: Floats
) -> Floats:
    """Return the variance when what each adds is summed by cluster first."""
    sums = _sums(rows, climbed.beta, clusters)
    return plain @ (sums.T @ sums) @ plain


def _sums(rows: EventRows, beta: Floats, clusters: Numbers) -> Floats:
    """Return what each cluster adds to the slope, shape ``(n_clusters, width)``."""
    cluster = np.asarray(clusters, dtype=np.int64)
    added = score_residuals(rows, beta)
    return summed_by(cluster, added, int(cluster.max()) + 1)


def _widest(variances: Sequence[Floats]) -> Floats:
    """Return the widest standard error of each, shape ``(width,)``."""
    diagonals = np.array([np.diag(variance) for variance in variances])
    return np.asarray(np.sqrt(np.maximum(diagonals.max(axis=0), 0.0)))


def _score_test(rows: EventRows, width: int, clusters: Numbers | None) -> float | None:
    """Return the chance of the slope at no effect; None where it has no spread."""
    from scipy.special import chdtrc

    none = np.zeros(width)
    at = likelihood(rows, none)
    spreads = [at.information]
    if clusters is not None:
        sums = _sums(rows, none, clusters)
        spreads.append(np.asarray(sums.T @ sums))
    if any(np.linalg.matrix_rank(spread) < width for spread in spreads):
        return None
    return max(
        float(chdtrc(width, at.score @ np.linalg.solve(spread, at.score)))
        for spread in spreads
    )


def _refusal(
    happened: int, scale: Floats, centred: Floats, names: Sequence[str]
) -> str | None:
    """Return why there can be no fit; None if there can."""
    if not happened:
        return "No event was seen, so there is no hazard ratio."
    still = [name for name, spread in zip(names, scale, strict=True) if spread <= 0.0]
    if still:
        return f"'{still[0]}' is the same for all, so it has no hazard ratio."
    if np.linalg.matrix_rank(centred) < centred.shape[1]:
        return (
            "The covariates say the same thing twice, so none has a ratio of its own."
        )
    return None


@dataclass(frozen=True, slots=True, eq=False)
class _Climbed:
    """Where the steps came to rest, on covariates of unit spread."""

    beta: Floats
    information: Floats
    log_likelihood: float
    start: float
    steps: int
    converged: bool


def _climb(rows: EventRows, width: int) -> _Climbed:
    beta = np.zeros(width)
    at = likelihood(rows, beta)
    start, steps, converged = at.value, 0, False
    while steps < MOST_STEPS and not converged:
        steps += 1
        ahead, move = _ahead(rows, beta, at)
        if ahead is None:
            break
        converged = abs(ahead.value - at.value) <= ENOUGH * (1.0 + abs(at.value))
        beta, at = beta + move, ahead
    return _Climbed(beta, at.information, at.value, start, steps, converged)


def _ahead(
    rows: EventRows, beta: Floats, at: Likelihood
) -> tuple[Likelihood | None, Floats]:
    """Return where the next step leads, halved until it does not lead down.

    None where there is no such step.
    """
    try:
        move = np.asarray(np.linalg.solve(at.information, at.score), dtype=np.float64)
    except np.linalg.LinAlgError:
        return None, np.zeros_like(beta)
    for _ in range(MOST_HALVINGS):
        ahead = likelihood(rows, beta + move)
        if (
            np.isfinite(ahead.value)
            and np.isfinite(ahead.information).all()
            and ahead.value >= at.value - ENOUGH
        ):
            return ahead, move
        move = np.multiply(move, 0.5, dtype=np.float64)
    return None, move


def _effects(
    beta: Floats,
    errors: Floats,
    names: Sequence[str],
    runaway: Sequence[bool],
    level: float,
) -> tuple[HazardRatio, ...]:
    from scipy.special import ndtr

    z = normal_quantile(level)
    found = []
    for name, log_ratio, se, is_off in zip(names, beta, errors, runaway, strict=True):
        with np.errstate(over="ignore"):
            ratio, low, high = np.exp(
                [log_ratio, log_ratio - z * se, log_ratio + z * se]
            )
        p_value = 2.0 * float(ndtr(-abs(log_ratio) / se)) if se > 0.0 else 1.0
        found.append(
            HazardRatio(
                name, float(log_ratio), float(se), float(ratio), float(low),
                float(high), p_value, is_finite=not is_off,
            )
        )  # fmt: skip
    return tuple(found)


def _runaway(climbed: _Climbed, plain: Floats) -> list[bool]:
    """Return for each covariate whether its ratio has no finite value."""
    errors = np.sqrt(np.abs(np.diag(plain)))
    return [
        bool(size > RUNAWAY or se > RUNAWAY_SE)
        for size, se in zip(np.abs(climbed.beta), errors, strict=True)
    ]


def _cautions(
    climbed: _Climbed, runaway: Sequence[bool], happened: int, names: Sequence[str]
) -> tuple[str, ...]:
    found = []
    if not climbed.converged:
        found.append(f"The fit did not come to rest in {climbed.steps} steps.")
    found += [
        f"'{name}' parts those with events from those without: its ratio has no finite "
        "value, and its limits mean nothing."
        for name, is_off in zip(names, runaway, strict=True)
        if is_off
    ]
    if happened < EVENTS_PER_COVARIATE * len(names):
        found.append(
            f"{happened} {'event' if happened == 1 else 'events'} for {len(names)} "
            f"{'ratio' if len(names) == 1 else 'ratios'}, fewer than "
            f"{EVENTS_PER_COVARIATE} each: very unsure."
        )
    return tuple(found)
