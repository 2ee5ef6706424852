"""The ward view as one value: order, counts, pages of strips, escaping."""

from __future__ import annotations

from datetime import UTC

import pytest
from tests.unit.ward.chart.pages.made import NOW, record, task

from lumenkeep.errors import Fault
from lumenkeep.ward.chart.lines_now import LineOnWard
from lumenkeep.web.pages.ward_page import WardStrips, ward_strips


def _view(rows: list[LineOnWard], **options: int) -> WardStrips:
    return ward_strips(rows, NOW, UTC, lambda key: f"/line/{key}/", **options)


def _rows(number: int) -> list[LineOnWard]:
    return [
        LineOnWard(record(f"line-{n}", bed=f"{n:03}", last_entry=n), (task(due=1 + n),))
        for n in range(number)
    ]


def test_the_sentence_counts_all_lines_shown_or_not() -> None:
    rows = _rows(8)
    rows[7] = LineOnWard(rows[7].record, (task(state="overdue", due=-1, over=-1),))

    view = _view(rows, stop=3)

    assert view.sentence == "1 line needs hands now, for its dressing."
    assert view.rest == "7 more dressings fall due today. 8 lines in all."
    assert (view.shown, view.left) == (3, 5)
    assert view.strips_html.count("<article") == 3
    assert view.strips_html.index("line-7") < view.strips_html.index("line-0")


@pytest.mark.parametrize(
    ("dressings", "others", "sentence"),
    [
        (0, 0, "No line needs hands now."),
        (2, 0, "2 lines need hands now, each for its dressing."),
        (0, 1, "1 line needs hands now, not for the dressing."),
        (1, 2, "3 lines need hands now, 1 of them for the dressing."),
    ],
)
def test_the_sentence_says_what_the_hands_are_for(
    dressings: int, others: int, sentence: str
) -> None:
    rows = _rows(5)
    for n in range(dressings):
        rows[n] = LineOnWard(rows[n].record, (task(state="due", due=0),))
    for n in range(dressings, dressings + others):
        set_task = task("set", "overdue", due=-1, over=-1)
        rows[n] = LineOnWard(rows[n].record, (task(due=50), set_task))

    assert _view(rows).sentence == sentence


def test_a_line_without_an_answer_comes_first_and_says_why() -> None:
    rows = _rows(3)
    fault = Fault("x", "No rule covers this line.", "policy", "ask the educator")
    rows[2] = LineOnWard(rows[2].record, (), fault)

    view = _view(rows)

    assert view.strips_html.index("line-2") < view.strips_html.index("line-0")
    assert "No rule covers this line. Ask the educator." in view.strips_html
    assert view.sentence.startswith("1 line needs hands now")


def test_a_ward_without_lines_says_so() -> None:
    assert _view([]).sentence == "No line is in place here."


def test_a_second_page_of_strips_does_not_repeat_the_heading() -> None:
    rows = _rows(6)

    first, second = _view(rows, start=0, stop=3), _view(rows, start=3, stop=6)

    assert first.strips_html.count("<h2") == 1
    assert "<h2" not in second.strips_html


def test_a_line_charted_since_is_marked() -> None:
    view = _view(_rows(3), seen=1)

    assert view.strips_html.count("just charted") == 1


def test_names_are_escaped() -> None:
    row = LineOnWard(record(name='Demo <Ash> "&', bed="<1>"), (task(due=1),))

    html = _view([row]).strips_html

    assert "Demo &lt;Ash&gt; &quot;&amp;" in html
    assert "<Ash>" not in html
    assert "Bed &lt;1&gt;" in html


def test_nothing_is_styled_inline() -> None:
    html = _view(_rows(3)).strips_html + _view(_rows(3)).axis_html

    assert "style=" not in html
    assert "<script" not in html
