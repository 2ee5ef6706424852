"""The partial likelihood with its slope and curvature, over whole arrays.

With Efron's way each of ``d`` tied events sees the tied ones leave one after the other:
the j-th (from 0) takes ``j / d`` of their weight out of those at risk.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lumenkeep.watch.survival.counted import Floats, Wholes


@dataclass(frozen=True, slots=True, eq=False)
class EventRows:
    """What the likelihood is summed over, longest time first.

    Attributes
    ----------
    columns
        Covariates, shape ``(n, width)``, and ``products``, each with each, shape
        ``(n, width * width)``.
    is_event
        Shape ``(n,)``.
    at_risk_to
        For each event, how many of the rows were at risk, shape ``(n_events,)``.
    tie
        For each event, which tie it belongs to, and ``share``, how much of the tie has
        left before it, shape ``(n_events,)``.
    """

    columns: Floats
    products: Floats
    is_event: np.ndarray[tuple[int], np.dtype[np.bool_]]
    at_risk_to: Wholes
    tie: Wholes
    share: Floats
    ties: int


@dataclass(frozen=True, slots=True, eq=False)
class Likelihood:
    """Logarithm of the partial likelihood, its slope, and less its curvature."""

    value: float
    score: Floats
    information: Floats


def event_rows(
    lasted: Floats,
    is_event: np.ndarray[tuple[int], np.dtype[np.bool_]],
    columns: Floats,
    *,
    is_efron: bool,
) -> EventRows:
    """Return the rows in order, with what each event's risk set is."""
    order = np.argsort(-lasted, kind="stable")
    lasted, is_event, columns = lasted[order], is_event[order], columns[order]
    at_risk = np.searchsorted(-lasted, -lasted[is_event], side="right")
    # Events of one time lie together, so a tie is a run of equal risk sets.
    is_new = np.concatenate(([True], at_risk[1:] != at_risk[:-1]))
    tie = np.cumsum(is_new) - 1
    size = np.bincount(tie)
    position = np.arange(len(tie)) - np.flatnonzero(is_new)[tie]
    share = position / size[tie] if is_efron else np.zeros(len(tie))
    width = columns.shape[1]
    products = (columns[:, :, None] * columns[:, None, :]).reshape(-1, width * width)
    return EventRows(columns, products, is_event, at_risk, tie, share, len(size))


def likelihood(rows: EventRows, beta: Floats) -> Likelihood:
    """Return the likelihood at ``beta``, shape ``(width,)``."""
    width = len(beta)
    # Far out, where a step has to be taken back, weights vanish; the value then says so.
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        linear = rows.columns @ beta
        # Only ratios matter, so the greatest is taken out before it overflows.
        linear -= linear.max()
        weight = np.exp(linear)
        parts = np.column_stack(
            [weight, weight[:, None] * rows.columns, weight[:, None] * rows.products]
        )
        at_risk = np.cumsum(parts, axis=0)[rows.at_risk_to - 1]
        tied = np.empty((rows.ties, parts.shape[1]))
        own = parts[rows.is_event]
        for column in range(parts.shape[1]):
            tied[:, column] = np.bincount(rows.tie, own[:, column], rows.ties)
        left = at_risk - rows.share[:, None] * tied[rows.tie]
        mean = left[:, 1 : 1 + width] / left[:, :1]
        square = left[:, 1 + width :] / left[:, :1]
        value = float(linear[rows.is_event].sum() - np.log(left[:, 0]).sum())
        score = (rows.columns[rows.is_event] - mean).sum(axis=0)
        information = square.sum(axis=0).reshape(width, width) - mean.T @ mean
    return Likelihood(value, score, information)
