"""Axes are marked at round numbers and days, and labels keep apart."""

from __future__ import annotations

from datetime import date

import pytest

from lumenkeep.drawing.beside import NamedPoint, into_lanes
from lumenkeep.drawing.figure import listed, number, per_cent, share_span
from lumenkeep.drawing.frame import spread
from lumenkeep.drawing.sheet import LINE_HEIGHT, wrapped
from lumenkeep.drawing.ticks import date_ticks, round_ticks, stretched_ticks, tick_text


@pytest.mark.parametrize(
    ("low", "high", "ticks"),
    [
        (0.0, 8.93, (0.0, 2.0, 4.0, 6.0, 8.0, 10.0)),
        (0.0, 0.31, (0.0, 0.1, 0.2, 0.3, 0.4)),
        (6.0, 18.0, (5.0, 7.5, 10.0, 12.5, 15.0, 17.5, 20.0)),
        (0.0, 0.0, (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)),
    ],
)
def test_ticks_are_round_and_reach_past_the_values(
    low: float, high: float, ticks: tuple[float, ...]
) -> None:
    assert round_ticks(low, high, 5) == ticks


def test_a_stretched_scale_is_marked_at_one_two_five() -> None:
    assert stretched_ticks(74.0) == (0.0, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)


def test_ticks_of_one_axis_have_as_many_decimals() -> None:
    ticks = (0.0, 0.5, 1.0)

    assert [tick_text(tick, ticks) for tick in ticks] == ["0.0", "0.5", "1.0"]


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (date(2026, 3, 1), date(2026, 3, 4), ["1 Mar", "2 Mar", "3 Mar", "4 Mar"]),
        (date(2025, 12, 20), date(2026, 3, 15), ["Jan 2026", "Feb 2026", "Mar 2026"]),
        (
            date(2024, 2, 1),
            date(2026, 1, 1),
            ["Jul 2024", "Jan 2025", "Jul 2025", "Jan 2026"],
        ),
    ],
)
def test_days_are_marked_where_they_are_round(
    first: date, last: date, words: list[str]
) -> None:
    assert [label for _, label in date_ticks(first, last, 5)] == words


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0.0, "0"),
        (2.0, "2"),
        (2.6667, "2.67"),
        (0.035, "0.035"),
        (12.34, "12.3"),
        (4692.25, "4,692"),
        (-3.0, "−3"),
        (float("inf"), "no limit"),
    ],
)
def test_a_number_has_the_digits_a_reader_needs(value: float, words: str) -> None:
    assert number(value) == words


def test_a_share_near_none_or_all_is_not_rounded_to_it() -> None:
    assert [per_cent(share) for share in (0.0, 0.004, 0.674, 0.996, 1.0)] == [
        "0 %",
        "0.4 %",
        "67 %",
        "99.6 %",
        "100 %",
    ]
    assert share_span(0.56, 0.76) == "56 to 76 %"


def test_items_are_joined_as_in_a_sentence() -> None:
    assert [listed(list(words)) for words in ("", "a", "ab", "abc")] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]


def test_labels_of_near_lines_are_moved_apart_inside_the_plot() -> None:
    places = spread([10.0, 12.0, 99.0], 0.0, 100.0)

    assert places == [10.0, 28.0, 99.0]
    assert spread([98.0, 99.0], 0.0, 100.0) == [82.0, 100.0]
    assert LINE_HEIGHT == 18.0


def test_words_that_would_touch_take_a_lane_each_and_the_rest_are_counted() -> None:
    words = [NamedPoint(0.5, 1.0, "above limit") for _ in range(6)]

    lanes = into_lanes(words, 0.0, 300.0, 300.0)

    assert [lane for _, lane, _ in lanes.placed] == [0, 1, 2, 3]
    assert lanes.left_out == 2


def test_a_percent_sign_stays_with_its_number() -> None:
    assert wrapped("a target of 95 %", 40.0)[-1] == "95\N{NO-BREAK SPACE}%"
