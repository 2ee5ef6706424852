"""The computed rate of false alarms is what drawn lines show, and its highest."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from lumenkeep.core.policy.still_lines import still_rate

LINES, OVER, SD = 40_000, 28, 2.0


def drawn_rate(out_mm: float, in_mm: float, positions: int) -> float:
    """Return the share of drawn still lines that pass a limit with the arm alike."""
    rng = np.random.default_rng(20261130)
    silent = np.ones(LINES, dtype=bool)
    for size in np.diff(np.linspace(0, OVER, positions + 1).round()).astype(int):
        y = rng.normal(0, SD, (LINES, size))
        change = y - y[:, :1]
        silent &= ~((change >= out_mm) | (-change >= in_mm)).any(axis=1)
    return float(1 - silent.mean())


@pytest.mark.parametrize(
    ("out_mm", "in_mm"),
    [(5, 5), (8, 8), (10, 10), (12, 12), (8, inf), (inf, 7), (6, 9)],
)
def test_the_rate_is_the_highest_that_drawn_lines_show(out_mm, in_mm) -> None:
    """40,000 lines drawn: four standard errors of a share are 1 of 100 at most."""
    computed = still_rate(out_mm, in_mm, SD, OVER)
    drawn = [drawn_rate(out_mm, in_mm, positions) for positions in (1, 2, 3, 4, 7)]

    near = 4 * (computed * (1 - computed) / LINES) ** 0.5
    assert max(drawn) == pytest.approx(computed, abs=near)


def test_one_measurement_alone_rings_nothing() -> None:
    assert still_rate(5, 5, SD, 1) == pytest.approx(0, abs=1e-12)


def test_without_a_limit_nothing_rings() -> None:
    assert still_rate(inf, inf, SD, OVER) == pytest.approx(0, abs=1e-12)


def test_any_change_at_all_rings_surely() -> None:
    assert still_rate(0, 0, SD, 2) == pytest.approx(1)


def test_two_lengths_are_a_plain_normal_difference() -> None:
    """P(|N(0, 2)| >= 1.96 sqrt 2) = 0.05 (a normal table, from memory)."""
    assert still_rate(1.96 * 2**0.5, 1.96 * 2**0.5, 1.0, 2) == pytest.approx(
        0.05, abs=1e-4
    )


def test_a_wider_limit_a_smaller_error_and_fewer_lengths_ring_less() -> None:
    rate = still_rate(8, 8, SD, OVER)

    assert still_rate(9, 8, SD, OVER) < rate
    assert still_rate(8, 8, 1.8, OVER) < rate
    assert still_rate(8, 8, SD, 20) < rate
