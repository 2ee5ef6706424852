"""A typed length is judged before it is charted, and by a card just as by the watch."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lumenkeep.core.watch.length import LengthRules, Limit, Measured
from lumenkeep.core.watch.length_typed import (
    judge_by_card,
    judge_typed_length,
    typed_length_card,
)
from lumenkeep.core.watch.length_values import MeasuringError

START = datetime(2026, 11, 3, 14, 5, tzinfo=UTC)
ERROR = MeasuringError(sd=2.0, other_arm_sd=4.0, usual_move=15.0, moves=0.1)
RULES = LengthRules(
    (Limit("twelve", "either", 12.0, is_above=False),), ERROR,
    false_alarm=0.02, over=28, asks=0.05,
)  # fmt: skip
BOUNDS = (0.0, 600.0)
DO = "Secure the line where it lies."
SIDE, BENT = "at the side", "bent"


def before(*mm: float, arm: str | None = SIDE) -> list[Measured]:
    return [
        Measured(n, START + timedelta(days=n), x, arm)
        for n, x in enumerate(mm, start=1)
    ]


def typed(mm: float, earlier=None, arm: str | None = SIDE):
    rows = before(11, 12, 11) if earlier is None else earlier
    return judge_typed_length(rows, mm, arm, RULES, BOUNDS, moved_do=DO)


@pytest.mark.parametrize("mm", [7, 11, 16])
def test_a_length_within_the_error_is_fine_and_says_nothing(mm) -> None:
    said = typed(mm)

    assert (said.state, said.says, said.suggests_mm) == ("fine", "", None)


def test_one_that_no_slip_explains_and_lies_far_off_is_asked_back() -> None:
    said = typed(185)

    assert (said.state, said.then) == ("unlikely", "moved")
    assert said.says == "11 mm last time. 185?"


@pytest.mark.parametrize(
    ("mm", "meant"),
    [(120, 12), (1.2, 12), (122, 12), (112, 12), (110, 11), (1.1, 11)],
)
def test_a_unit_or_a_doubled_digit_is_asked_back_with_what_was_meant(mm, meant) -> None:
    said = typed(mm)

    assert (said.state, said.suggests_mm) == ("unlikely", meant)
    assert said.says == f"11 mm last time. {mm:g}? Do you mean {meant:g} mm?"


def test_what_cannot_be_is_refused_with_what_was_meant() -> None:
    """1650 stands for 165: centimetres and millimetres mistaken, by a zero."""
    said = typed(1650, before(163, 165, 164))

    assert (said.state, said.suggests_mm) == ("impossible", 165)
    assert said.says == (
        "1650 mm cannot lie outside the skin: 0 to 600 mm can. Read the tape again. Do "
        "you mean 165 mm?"
    )
    assert typed(1650, []).says.endswith("Read the tape again.")
    assert typed(-1).state == "impossible"


def test_a_first_doubt_asks_for_another_person_with_the_arm_alike() -> None:
    said = typed(18)

    assert said.state == "measure-again"
    assert said.says == (
        "7 mm out from 11 mm at first: more than measuring error usually makes. Let "
        "another person measure again, with the arm at the side, before anything else is decided. If both "
        "agree, it has moved."
    )


def test_a_shift_too_large_for_any_error_has_moved_and_says_what_to_do() -> None:
    said = typed(31)

    assert said.state == "moved"
    assert said.says == f"Moved 20 mm out from 11 mm at first. {DO}"


def test_a_second_doubt_has_moved() -> None:
    assert typed(19, before(11, 12, 11, 19)).state == "moved"


def test_the_first_length_of_all_is_held_against_the_bounds_only() -> None:
    assert typed(185, []).state == "fine"
    assert typed(601, []).state == "impossible"


def test_another_arm_is_told_and_compared_with_more_of_error() -> None:
    assert typed(20, arm=BENT).state == "fine"
    said = typed(28, arm=BENT)

    assert said.state == "measure-again"
    assert "with the arm at the side" in said.says


def test_a_card_is_plain_json_and_its_stretches_meet() -> None:
    card = typed_length_card(before(11, 12, 11), RULES, BOUNDS, arms=(SIDE, BENT))

    assert json.loads(json.dumps(card)) == card
    assert set(card["arms"]) == {"", SIDE, BENT}
    for own in card["arms"].values():
        ends = [one["upto"] for one in own["segments"]]
        assert ends == sorted(ends)
        assert ends[-1] == BOUNDS[1]
    states = [one["state"] for one in card["arms"][SIDE]["segments"]]
    assert states == ["moved", "measure-again", "fine", "measure-again", "moved"]


LENGTHS = st.lists(
    st.tuples(st.integers(0, 60), st.sampled_from([None, SIDE, BENT])), max_size=5
)


@settings(max_examples=30, deadline=None)
@given(LENGTHS, st.lists(st.integers(0, 700), min_size=1, max_size=12))
@example([(22, None), (23, None), (41, None)], [28, 228])
def test_a_card_answers_as_the_watch_does(earlier, tried) -> None:
    rows = [
        Measured(n, START + timedelta(days=n), float(mm), arm)
        for n, (mm, arm) in enumerate(earlier)
    ]
    card = typed_length_card(rows, RULES, BOUNDS, arms=(SIDE, BENT), moved_do=DO)

    for mm in tried:
        for arm in (None, SIDE, BENT):
            by_watch = judge_typed_length(rows, mm, arm, RULES, BOUNDS, moved_do=DO)
            assert judge_by_card(card, mm, arm) == by_watch
