"""What Nelson's eight rules cost in false alarms.

Nelson 1984 has the rules; the run lengths were simulated beforehand with 400,000
sequences each (exact ones where there are such: `test_agreement_and_charts`), and are
simulated again here, within four standard errors of the smaller run.
"""

from __future__ import annotations

import numpy as np
import pytest

from lumenkeep.core.outcomes.statistics.eight_rules import EIGHT, eight_rules

pytestmark = pytest.mark.external


def simulated(
    rules: tuple[int, ...], sequences: int, points: int
) -> tuple[float, float]:
    """Return mean run length and its standard error; long runs are carried on."""
    random = np.random.default_rng(1984)
    lengths = np.zeros(sequences)
    waiting = np.arange(sequences)
    tail, done = np.empty((sequences, 0)), 0
    while waiting.size:
        fresh = random.standard_normal((waiting.size, points))
        z = np.concatenate([tail, fresh], axis=1)
        any_rule = np.zeros(z.shape, dtype=bool)
        for flags in eight_rules(z, rules).values():
            any_rule |= flags
        any_rule[:, : tail.shape[1]] = False
        has_signal = any_rule.any(axis=1)
        first = any_rule.argmax(axis=1) - tail.shape[1] + 1
        lengths[waiting[has_signal]] = done + first[has_signal]
        waiting = waiting[~has_signal]
        tail = z[~has_signal][:, -20:]
        done += points
    return float(lengths.mean()), float(lengths.std() / sequences**0.5)


@pytest.mark.timeout(60)
@pytest.mark.parametrize(
    ("rules", "value"),
    [
        ((1,), 370.40),
        ((2,), 511.0),
        ((3,), 421.6),
        ((4,), 601.0),
        ((5,), 510.69),
        ((6,), 291.32),
        ((7,), 963.3),
        ((8,), 14_251),
        ((1, 2, 3, 4), 119.3),
        ((1, 2, 5, 6), 109.05),
        (EIGHT, 73.5),
    ],
)
def test_false_alarms_of_the_eight_rules(rules: tuple[int, ...], value: float) -> None:
    sequences = 1000 if rules == (8,) else 10_000
    mean, error = simulated(rules, sequences, 400)

    assert mean == pytest.approx(value, abs=4 * error)


@pytest.mark.parametrize(
    ("rule", "z"),
    [
        (1, [3.1]),
        (2, [0.1] * 9),
        (3, [0, 1, 2, 2.1, 2.2, 2.3]),
        (4, [0, 1] * 7),
        (5, [2.1, 0, 2.1]),
        (6, [1.1, 0, 1.1, 1.1, 1.1]),
        (7, [0.5] * 15),
        (8, [1.5, -1.5] * 4),
    ],
)
def test_a_rule_signals_at_the_point_that_completes_it(rule: int, z: list) -> None:
    flags = eight_rules(np.array(z, dtype=float), (rule,))[rule]

    assert flags.tolist() == [False] * (len(z) - 1) + [True]
