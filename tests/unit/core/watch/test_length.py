"""A shift is told from noise; neither an unchanged nor an unmeasured length says no."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from lumenkeep.core.watch.length import LengthRules, Limit, Measured, judge_lengths
from lumenkeep.core.watch.length_evidence import Evidence, hear
from lumenkeep.core.watch.length_values import MeasuringError
from lumenkeep.core.watch.length_words import arm_words, length_sentence, short_words

START = datetime(2026, 11, 3, 14, 5, tzinfo=UTC)
ERROR = MeasuringError(sd=2.0, other_arm_sd=4.0, usual_move=15.0, moves=0.1)
TEN = Limit("ten", "either", 10.0, is_above=False)
RULES = LengthRules(
    (TEN,), ERROR, compares_arms=True, false_alarm=0.02, arm_note="Note."
)
NO_LIMIT = LengthRules((), ERROR, compares_arms=True, false_alarm=0.02)


def shift_evidence(lengths, arms, error) -> Evidence:
    """Return the evidence for one step in all of the lengths (mm)."""
    return hear(lengths, arms, error, [len(lengths)]).evidence(0)


def lengths(*mm: float, arms: tuple[str | None, ...] = ()) -> list[Measured]:
    """Return measurements three days apart."""
    return [
        Measured(n, START + timedelta(days=3 * n), x, arms[n] if arms else None)
        for n, x in enumerate(mm)
    ]


@pytest.mark.parametrize(
    ("limit", "change", "is_passed"),
    [
        (Limit("l", "either", 10, is_above=False), 9.9, False),
        (Limit("l", "either", 10, is_above=False), 10, True),
        (Limit("l", "either", 10, is_above=False), -9.9, False),
        (Limit("l", "either", 10, is_above=False), -10, True),
        (Limit("l", "either", 20, is_above=True), 20, False),
        (Limit("l", "either", 20, is_above=True), 20.1, True),
        (Limit("l", "either", 20, is_above=True), -20.1, True),
        (Limit("l", "either", 0, is_above=True), 0, False),
        (Limit("l", "either", 0, is_above=True), 0.5, True),
        (Limit("l", "either", 0, is_above=False), 0, False),
        (Limit("l", "outward", 10, is_above=False), 10, True),
        (Limit("l", "outward", 10, is_above=False), -30, False),
        (Limit("l", "inward", 10, is_above=False), -10, True),
        (Limit("l", "inward", 10, is_above=False), 30, False),
    ],
)
def test_a_limit_is_passed_on_its_own_side_only(limit, change, is_passed) -> None:
    assert limit.is_passed_by(change) is is_passed


@pytest.mark.parametrize(("last", "state"), [(29.9, "no-shift-shown"), (30, "moved")])
def test_the_limit_alerts_at_once_whatever_the_evidence(last, state) -> None:
    only_limit = LengthRules((TEN,))

    assert judge_lengths(lengths(20, last), only_limit).state == state


def test_a_small_shift_that_stays_is_found_without_any_limit() -> None:
    once = judge_lengths(lengths(20, 20, 21, 19, 20, 26), NO_LIMIT)
    stays = judge_lengths(lengths(20, 20, 21, 19, 20, 26, 27, 26, 25, 27), NO_LIMIT)

    assert once.state == "no-shift-shown"
    assert stays.state == "moved"
    assert stays.shift is not None
    assert stays.shift.by == "lengths"
    assert (stays.shift.after.entry, stays.shift.before.entry) == (4, 5)


def test_noise_is_no_shift_and_is_not_called_staying() -> None:
    verdict = judge_lengths(lengths(20, 21, 19, 20, 22), RULES)

    assert verdict.state == "no-shift-shown"
    assert length_sentence(verdict, UTC, RULES) == (
        "22 mm, 2 mm longer than 20 mm at first: no more than measuring error may "
        "make. It does not show that the line has stayed."
    )


def test_an_unchanged_length_says_that_it_proves_nothing() -> None:
    verdict = judge_lengths(lengths(20, 20), RULES)

    assert length_sentence(verdict, UTC) == (
        "20 mm, as at first. An unchanged length proves nothing about the tip."
    )


def test_without_any_length_nothing_can_be_judged() -> None:
    verdict = judge_lengths([], RULES)

    assert verdict.state == "cannot-judge"
    assert length_sentence(verdict, UTC) == (
        "Cannot judge whether the line has moved: no length was ever charted."
    )


def test_a_first_length_that_is_no_baseline_cannot_be_judged() -> None:
    verdict = judge_lengths(lengths(35), RULES, has_baseline=False)

    assert verdict.state == "cannot-judge"
    assert "the length at insertion was not charted" in length_sentence(verdict, UTC)


def test_a_move_says_how_far_which_way_since_when_and_how_sure() -> None:
    verdict = judge_lengths(lengths(20, 20, 38), RULES)

    assert verdict.shift is not None
    assert short_words(verdict.shift) == "moved 18 mm out"
    assert length_sentence(verdict, UTC, RULES) == (
        "Moved 18 mm out from 20 mm at first (12 to 24 mm), between Fri 6 Nov, 14:05 and "
        "Mon 9 Nov, 14:05. The policy’s limit is reached. Measuring error alone would ever show as much "
        "in fewer than 1 of 1,000,000 lines that stay where they are."
    )


def test_a_move_in_is_told_as_one() -> None:
    verdict = judge_lengths(lengths(40, 25), RULES)

    assert verdict.shift is not None
    assert not verdict.shift.is_outward
    assert short_words(verdict.shift) == "moved 15 mm in"


def test_a_limit_alone_says_that_it_may_be_measuring_error() -> None:
    any_change = LengthRules((Limit("any", "either", 0, is_above=True),), ERROR)
    verdict = judge_lengths(lengths(20, 21), any_change)

    assert verdict.state == "moved"
    assert "It may still be no more than measuring error." in length_sentence(
        verdict, UTC, any_change
    )


def test_a_length_that_came_back_is_not_called_well() -> None:
    verdict = judge_lengths(lengths(20, 38, 38, 20, 21), RULES)

    assert (verdict.state, verdict.is_back) == ("no-shift-shown", True)
    assert length_sentence(verdict, UTC) == (
        "21 mm: it had moved, and the length is back. That does not show that the tip is."
    )


def test_creeping_is_told_by_what_lies_outside_now() -> None:
    verdict = judge_lengths(lengths(20, 22, 26, 29, 33), RULES)

    assert verdict.shift is not None
    assert verdict.shift.mm == 13


def test_another_arm_widens_the_error() -> None:
    same = judge_lengths(lengths(20, 20, 32, arms=("bent",) * 3), NO_LIMIT)
    other = judge_lengths(
        lengths(20, 20, 32, arms=("bent", "bent", "straight")), NO_LIMIT
    )

    assert same.ratio > 50 > other.ratio
    assert (same.state, other.state) == ("moved", "no-shift-shown")
    assert arm_words(other, "Note.") == "The arm lay otherwise than at first. Note."


def test_a_limit_counts_only_with_the_arm_alike() -> None:
    """10 mm would ring in 29 of 100 still lines whose arm varies (simulated)."""
    arms = ("bent", "bent", "straight")

    assert judge_lengths(lengths(20, 20, 31, arms=arms), RULES).state != "moved"
    assert (
        judge_lengths(lengths(20, 20, 31, arms=("bent",) * 3), RULES).state == "moved"
    )


def test_a_policy_may_leave_other_arms_uncompared() -> None:
    uncompared = LengthRules((TEN,), ERROR, compares_arms=False, false_alarm=0.02)
    arms = ("bent", "bent", "straight")
    verdict = judge_lengths(lengths(20, 20, 31, arms=arms), uncompared)

    assert (verdict.state, verdict.shift) == ("cannot-judge", None)
    assert length_sentence(verdict, UTC) == (
        "Cannot judge whether the line has moved: it was never measured before with the "
        "arm straight."
    )


def test_an_arm_nobody_charted_is_said_beside_a_move() -> None:
    verdict = judge_lengths(lengths(20, 40), RULES)

    assert verdict.arm == "not-charted"
    assert "not charted" in arm_words(verdict)


def test_the_evidence_is_what_the_plain_matrices_give() -> None:
    y = np.array([20.0, 21, 25, 26, 24, 26])
    arms = ["side", "side", "bent", "bent", "bent", "side"]
    bent = np.array([arm == "bent" for arm in arms], float)
    inverse = np.linalg.inv(4 * np.eye(6) + 16 * np.outer(bent, bent))
    one = np.ones(6)
    level = inverse @ one
    project = inverse - np.outer(level, level) / (one @ level)
    plain = 0.9**5
    for k in range(1, 6):
        step = (np.arange(6) >= k).astype(float)
        spread, pull = step @ project @ step, step @ project @ y
        wide = 1 + 225 * spread
        plain += 0.1 * 0.9 ** (k - 1) * np.exp(225 * pull**2 / (2 * wide)) / wide**0.5

    assert shift_evidence(y, arms, ERROR).ratio == pytest.approx(plain, rel=1e-9)


def test_still_lines_are_called_moved_no_more_often_than_promised() -> None:
    """Ville's inequality promises at most 2 %; 400 simulated lines of 20 lengths."""
    rng = np.random.default_rng(20261125)
    called = 0
    for _ in range(400):
        y = 20 + rng.normal(0, ERROR.sd, 20)
        arms = [None] * 20
        called += any(
            shift_evidence(y[:n], arms[:n], ERROR).ratio >= 50 for n in range(2, 21)
        )

    assert called <= 8


def test_lines_that_move_one_centimetre_are_found_soon() -> None:
    rng = np.random.default_rng(7)
    found = 0
    for _ in range(100):
        y = 20 + rng.normal(0, ERROR.sd, 8)
        y[5:] += 10
        found += shift_evidence(y, [None] * 8, ERROR).ratio >= 50

    assert found >= 95
