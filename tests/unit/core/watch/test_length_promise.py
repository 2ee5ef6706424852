"""What the policy promises of still lines is kept, and what moves is found.

The lines are drawn apart from the engine, from a fixed seed, as the shipped policy says
that lengths are measured: with its error, in whole millimetres, and with the arm in one
position or in three.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import erfc

import numpy as np
import pytest
from tests.fakes.chart import chart_with_a_line
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.core.policy import Situation, load_policy
from lumenkeep.core.policy.still_lines import LIMITS_SHARE, still_rate
from lumenkeep.core.watch.length import Limit, Measured, judge_each, judge_lengths
from lumenkeep.core.watch.length_budget import budget_of
from lumenkeep.core.watch.length_rules import length_rules

pytestmark = pytest.mark.timeout(120)

LINES, OVER = 600, 28
START = datetime(2026, 11, 1, tzinfo=UTC)
ARMS = ("at the side", "away from the body", "bent")


def shipped():
    """Return what the demo hospital's policy says of a line in an upper arm."""
    case = chart_with_a_line(FixedClock()).line("l-1").state.case
    book = load_policy("quillmere").on(NOON.date())
    return length_rules(book, Situation(case, NOON))


def drawn(rng, rules, count, *, varies, shift=0.0, moves_at=99):
    """Return one line's lengths, the arm lying as at first or anyhow."""
    arms = [0] * count
    if varies:
        arms = [int(a) for a in rng.integers(0, len(ARMS), count)]
    off = {arms[0]: 0.0}
    for arm in arms:
        off.setdefault(arm, float(rng.normal(0, rules.error.other_arm_sd)))
    level = rng.uniform(10, 60)
    return [
        Measured(
            n,
            START + timedelta(days=n),
            float(
                np.round(
                    level
                    + off[arm]
                    + (shift if n >= moves_at else 0)
                    + rng.normal(0, rules.error.sd)
                )
            ),
            ARMS[arm],
        )
        for n, arm in enumerate(arms)
    ]


def test_what_the_ways_may_cost_together_is_what_the_policy_allows() -> None:
    """The union bound: every test at its own chance, and Ville's bound for the rest."""
    rules = shipped()
    budget = budget_of(rules)
    limit = still_rate(12, 12, rules.error.sd, OVER)

    def two_sided(score):
        return erfc(score / 2**0.5)

    spent = (
        limit
        + (OVER - 1) * two_sided(budget.too_large)
        + (OVER - 2) * two_sided(budget.second)
        + 1 / budget.ratio
    )
    assert 0.8 * rules.false_alarm < spent < rules.false_alarm


@pytest.mark.parametrize("varies", [False, True])
def test_still_lines_are_called_moved_no_more_often_than_promised(varies) -> None:
    rules = shipped()
    rng = np.random.default_rng(20261130)
    called = asked = 0
    for _ in range(LINES):
        lengths = drawn(rng, rules, OVER, varies=varies)
        said = [one.state for one in judge_each(lengths, rules)]
        called += "moved" in said
        asked += said.count("measure-again")

    assert called <= rules.false_alarm * LINES
    assert asked <= rules.asks * LINES * (OVER - 1)


def test_a_shift_of_10_mm_after_three_lengths_is_called_by_its_second() -> None:
    rules = shipped()
    rng = np.random.default_rng(20261201)
    called = told = 0
    for _ in range(LINES):
        lengths = drawn(rng, rules, 5, varies=False, shift=10, moves_at=3)
        said = [one.state for one in judge_each(lengths, rules)]
        told += said[3] != "no-shift-shown"
        called += said[4] == "moved"

    assert called >= 0.95 * LINES
    assert told >= 0.95 * LINES  # by the first, at least asked back


def test_judging_each_length_is_judging_the_first_ones_alone() -> None:
    rules = shipped()
    rng = np.random.default_rng(5)
    for moves_at in (3, 6, 99):
        rows = drawn(rng, rules, 9, varies=True, shift=9, moves_at=moves_at)
        each = judge_each(rows, rules)

        for count in range(1, len(rows) + 1):
            alone = judge_lengths(rows[:count], rules)
            assert each[count - 1].state == alone.state
            assert each[count - 1].ratio == pytest.approx(alone.ratio)
            assert (each[count - 1].shift is None) == (alone.shift is None)


def test_a_first_length_without_an_arm_is_walked_through_too() -> None:
    arms = (None, "bent", "bent", None, "bent")
    rows = [
        Measured(n, START + timedelta(days=n), 20.0, arm) for n, arm in enumerate(arms)
    ]

    for rules in (shipped(), replace(shipped(), asks_arm=False)):
        states = [one.state for one in judge_each(rows, rules)]
        assert states == ["no-shift-shown"] * len(rows)


def test_a_limit_within_the_error_asks_and_never_calls() -> None:
    rules = shipped()
    narrow = Limit("narrow", "either", 5, is_above=False)
    rules = replace(rules, limits=(*rules.limits, narrow))
    rows = [
        Measured(n, START + timedelta(days=n), mm, "bent")
        for n, mm in enumerate((20.0, 25.0))
    ]

    assert budget_of(rules).limits == {"length-change"}
    assert judge_lengths(rows, rules).state == "measure-again"
    assert LIMITS_SHARE * rules.false_alarm < still_rate(5, 5, rules.error.sd, OVER)
