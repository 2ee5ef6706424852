"""The partial likelihood with its slope and curvature, over whole arrays.

With Efron's way each of ``d`` tied events sees the tied ones leave one after the other:
the j-th (from 0) takes ``j / d`` of their weight out of those at risk.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lumenkeep.core.watch.survival.counted import Floats, Wholes


@dataclass(frozen=True, slots=True, eq=False)
class EventRows:
    """What the likelihood is summed over, longest time first.

    Attributes
    ----------
    columns
        Covariates, shape ``(n, width)``, and ``products``, each with each, shape
        ``(n, width * width)``.
    order
        Where each row stood before, shape ``(n,)``.
    is_event
        Shape ``(n,)``.
    at_risk_to
        For each event, how many of the rows were at risk, shape ``(n_events,)``.
    tie
        For each event, which tie it belongs to, and ``share``, how much of the tie has
        left before it, shape ``(n_events,)``.
    """

    order: Wholes
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
    return EventRows(order, columns, products, is_event, at_risk, tie, share, len(size))


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
        tied = summed_by(rows.tie, parts[rows.is_event], rows.ties)
        left = at_risk - rows.share[:, None] * tied[rows.tie]
        mean = left[:, 1 : 1 + width] / left[:, :1]
        square = left[:, 1 + width :] / left[:, :1]
        value = float(linear[rows.is_event].sum() - np.log(left[:, 0]).sum())
        score = (rows.columns[rows.is_event] - mean).sum(axis=0)
        information = square.sum(axis=0).reshape(width, width) - mean.T @ mean
    return Likelihood(value, score, information)


def summed_by(group: Wholes, values: Floats, groups: int) -> Floats:
    """Return the sum of each column by group, shape ``(groups, width)``."""
    return np.column_stack([np.bincount(group, column, groups) for column in values.T])


def score_residuals(rows: EventRows, beta: Floats) -> Floats:
    """Return what each adds to the slope at ``beta``, in the order given at first.

    Shape ``(n, width)``; the sum over all is the slope, which is 0 at the fit.

    References
    ----------
    .. [1] D. Y. Lin and L. J. Wei, Journal of the American Statistical Association 84
       (1989) 1074-1078. From memory.
    """
    linear = rows.columns @ beta
    weight = np.exp(linear - linear.max())
    parts = np.column_stack([weight, weight[:, None] * rows.columns])
    own = parts[rows.is_event]
    tied = summed_by(rows.tie, own, rows.ties)
    left = np.cumsum(parts, axis=0)[rows.at_risk_to - 1] - (
        rows.share[:, None] * tied[rows.tie]
    )
    # For each event: one over those at risk, and their mean over those at risk.
    pace = np.column_stack([1.0 / left[:, :1], left[:, 1:] / left[:, :1] ** 2])
    later = np.concatenate(
        [np.cumsum(pace[::-1], axis=0)[::-1], np.zeros((1, pace.shape[1]))]
    )
    # Rows stand longest first, so an event is met by all rows before its risk set ends.
    first_met = np.searchsorted(rows.at_risk_to, np.arange(len(linear)), side="right")
    met = later[first_met]
    found = -weight[:, None] * (rows.columns * met[:, :1] - met[:, 1:])
    size = np.bincount(rows.tie)[:, None]
    mean = summed_by(rows.tie, left[:, 1:] / left[:, :1], rows.ties)
    softened = summed_by(rows.tie, rows.share[:, None] * pace, rows.ties)
    x = rows.columns[rows.is_event]
    found[rows.is_event] += x - (mean / size)[rows.tie]
    # Efron's way lets the tied ones leave one by one, so less is expected of them.
    give_back = softened[rows.tie]
    found[rows.is_event] += own[:, :1] * (x * give_back[:, :1] - give_back[:, 1:])
    placed: Floats = np.empty(found.shape)
    placed[rows.order] = found
    return placed
