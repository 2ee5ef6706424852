"""What each drawing says, letter by letter, and the table behind it."""

from __future__ import annotations

import pytest
from tests.fakes import drawings

from lumenkeep.core.outcomes.statistics.charts import u_chart
from lumenkeep.drawing import (
    ChartedMeasure,
    Share,
    StepCurve,
    control_chart,
    curves_chart,
    item_rows,
)

SENTENCES = {
    "rate_chart": (
        "Over 12 months the mean was 2.67 infections per 1000 line-days; no month "
        "stands out from what chance alone gives, and chance alone would give such a "
        "signal about once in 370 months."
    ),
    "share_chart": (
        "Over 30 weeks the mean was 23.1 per cent of lines; week 15, week 21, week 22 "
        "and week 23 stand out, and chance alone would give such a signal about once "
        "in 92 weeks."
    ),
    "laney_chart": (
        "Over 12 months the mean was 2.72 unplanned changes per 100 line-days; no "
        "month stands out from what chance alone gives."
    ),
    "gaps": (
        "Half of the gaps are expected above 20 days, and none of 12 stands out from "
        "what chance alone gives; this chart cannot show a turn for the worse here, "
        "because its lower limit is 0: the running sum can."
    ),
    "sums": (
        "The sum reached its limit in Aug 2025: the counts speak for it that "
        "infections have doubled."
    ),
    "change": (
        "At the change (new film) the level went to 0.33 times what it was before, "
        "with 95 % limits 0.12 to 0.87: more than chance explains; the mean was 5.64 "
        "infections per 1000 line-days before and 1.85 after. The comparison knows of "
        "no other change at that time, and of no season; 12 periods with 28 events "
        "carry it."
    ),
    "funnel": (
        "Siskin (2.14, above) lies outside the 95 % limits of chance, among 8 wards; "
        "about one ward in twenty does so by chance alone."
    ),
    "wards": (
        "Heron had 4.07 infections per 1000 line-days (95 % limits 1.86 to 7.73), the "
        "most of 3 wards; the limits overlap, so the order may be chance."
    ),
    "lives": (
        "By day 7, of 240 dressings: failed 25 % (95 % limits 18 to 32 %), changed "
        "48 % (95 % limits 38 to 58 %) and line out 10 %."
    ),
    "lengths": "The catheter has come out by 5 mm since 31 March 2026.",
    "items": (
        "Lowest: dated on the dressing, 67 % of 90 (95 % limits 56 to 76 %); highest: "
        "hands cleaned before the line was touched, 95 % of 88; of 1 item nothing is "
        "known."
    ),
}


@pytest.mark.parametrize("name", SENTENCES)
def test_a_drawing_says_what_it_shows_and_how_sure_it_is(name: str) -> None:
    assert getattr(drawings, name)().sentence == SENTENCES[name]


def test_every_kind_of_drawing_has_its_sentence_here() -> None:
    assert {make.__name__ for make in drawings.ALL} == set(SENTENCES)


def test_a_rate_chart_tells_counts_rate_and_limits_of_each_month() -> None:
    drawing = drawings.rate_chart()

    assert drawing.header == (
        "month",
        "count",
        "out of",
        "infections per 1000 line-days",
        "lower limit",
        "upper limit",
        "signal",
    )
    assert drawing.rows[0] == ("Jan 2025", "3", "612", "4.90", "0", "8.93", "none")
    assert len(drawing.rows) == 12


def test_signals_are_told_by_word_in_table_and_alternative() -> None:
    drawing = drawings.share_chart()

    told = {row[0]: row[-1] for row in drawing.rows if row[-1] != "none"}
    assert told == {
        "week 15": "above limit",
        "week 21": "4 of 5 off centre",
        "week 22": "2 of 3 far out",
        "week 23": "2 of 3 far out, above limit",
    }
    assert "Marked with a diamond: week 15, above limit." in drawing.alternative
    assert drawing.svg.count('class="dr-signal"') == 4


def test_one_month_above_its_limit_stands_out() -> None:
    chart = u_chart([1, 0, 12, 1, 0, 1], [500] * 6)
    names = ["Jan", "Feb", "Mar", "Apr", "May", "Jun"]

    drawing = control_chart("k", "t", chart, names, ChartedMeasure("per 1000", 1000.0))

    assert drawing.sentence == "Over 6 months the mean was 5 per 1000; Mar stands out."


def test_an_item_nobody_looked_at_has_no_share() -> None:
    drawing = item_rows("k", "t", [Share("a", 0, 0)], measured="lines in order")

    assert drawing.rows == (("a", "0", "0", "not known", "not known"),)
    assert drawing.sentence == (
        "Nothing is known of lines in order: no item was looked at."
    )
    assert 'class="dr-point"' not in drawing.svg


def test_a_fourth_curve_is_refused() -> None:
    curve = StepCurve("a", (0.0, 1.0), (0.0, 0.1))

    with pytest.raises(ValueError, match="one to three curves can be told apart"):
        curves_chart("k", "t", [curve] * 4, quantity="share")


def test_a_curve_is_read_at_the_step_that_holds() -> None:
    curve = StepCurve("failed", (0.0, 2.0, 5.0), (0.0, 0.1, 0.3))

    assert [curve.at(day) for day in (0.0, 1.9, 2.0, 4.9, 5.0, 9.0)] == [
        0,
        0,
        1,
        1,
        2,
        2,
    ]
