"""What a length is compared with is named, and is the same wherever it is said."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from lumenkeep.core.watch.length import LengthRules, Measured, judge_lengths
from lumenkeep.core.watch.length_typed import judge_typed_length
from lumenkeep.core.watch.length_values import MeasuringError
from lumenkeep.core.watch.length_words import (
    compared_words,
    length_sentence,
    moved_words,
    short_words,
    told_at_once,
)

START = datetime(2026, 11, 3, 14, 5, tzinfo=UTC)
ERROR = MeasuringError(sd=2.0, other_arm_sd=4.0, usual_move=15.0, moves=0.1)
RULES = LengthRules((), ERROR, false_alarm=0.02, over=28, asks=0.05, asks_arm=True)
BOUNDS = (0.0, 600.0)
SIDE = "at the side"


def measured(*told: tuple[float, str | None]) -> list[Measured]:
    return [
        Measured(n, START + timedelta(days=n), mm, arm)
        for n, (mm, arm) in enumerate(told)
    ]


def test_the_first_length_with_the_arm_so_is_named_as_that() -> None:
    verdict = judge_lengths(measured((25, None), (24, SIDE), (24, SIDE)), RULES)

    assert compared_words(verdict) == "24 mm at first with the arm at the side"
    assert length_sentence(verdict, UTC).startswith(
        "24 mm, as at first with the arm at the side."
    )


@pytest.mark.parametrize(
    ("arm", "said"),
    [
        (SIDE, "11.5 mm in from 24 mm at first with the arm at the side"),
        (None, "12.5 mm in from 25 mm at first"),
    ],
)
def test_a_typed_length_names_what_it_is_held_against(
    arm: str | None, said: str
) -> None:
    rows = measured((25, None), (24, SIDE), (24, SIDE))

    assert said in judge_typed_length(rows, 12.5, arm, RULES, BOUNDS).says


def test_the_message_and_the_concern_say_one_number() -> None:
    rows = measured((25, SIDE), (24, SIDE), (24, SIDE), (4.5, SIDE))
    verdict = judge_lengths(rows, RULES)
    typed = judge_typed_length(rows[:3], 4.5, SIDE, RULES, BOUNDS)

    assert verdict.shift is not None
    said = "Moved 20.5 mm in from 25 mm at first"
    assert moved_words(verdict, UTC).startswith(f"{said} (")
    assert told_at_once(verdict) == typed.says == f"{said}."
    assert short_words(verdict.shift) == "moved 20.5 mm in"
