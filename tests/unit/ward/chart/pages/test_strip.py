"""A strip's drawing and words, both sides of the edges."""

from __future__ import annotations

from datetime import UTC

import pytest
from tests.unit.ward.chart.pages.made import NOW, hours, record, task

from lumenkeep.ward.chart.pages.standing import standing_of, task_in_words
from lumenkeep.ward.chart.pages.strip import (
    TimeAxis,
    axis_around,
    draw_line,
    strip_of,
)


@pytest.fixture
def axis() -> TimeAxis:
    return axis_around(NOW, UTC)


def test_worn_runs_from_the_last_change_to_now(axis: TimeAxis) -> None:
    drawing = draw_line(record(applied=-24).state, (task(due=24),), axis)

    assert drawing.worn is not None
    assert drawing.worn.x == axis.x(NOW - hours(24))
    assert drawing.worn.x + drawing.worn.width == pytest.approx(axis.now_x)
    assert not drawing.worn.open_start


def test_what_began_before_the_axis_is_open_at_its_start(axis: TimeAxis) -> None:
    start = (axis.start - NOW).total_seconds() / 3600

    on_edge = draw_line(record(applied=start).state, (), axis).worn
    before = draw_line(record(applied=start - 0.01).state, (), axis).worn

    assert on_edge is not None
    assert before is not None
    assert not on_edge.open_start
    assert before.open_start
    assert before.x == 0


def test_what_falls_due_beyond_the_axis_is_open_at_its_end(axis: TimeAxis) -> None:
    end = (axis.end - NOW).total_seconds() / 3600

    on_edge = draw_line(record().state, (task(due=end),), axis).left
    beyond = draw_line(record().state, (task(due=end + 0.01),), axis).left

    assert on_edge is not None
    assert beyond is not None
    assert not on_edge.open_end
    assert beyond.open_end
    assert beyond.x + beyond.width == pytest.approx(100)


def test_past_due_is_drawn_only_once_it_is_due(axis: TimeAxis) -> None:
    late = draw_line(record().state, (task(state="overdue", due=-5, over=-5),), axis)
    early = draw_line(record().state, (task(due=5),), axis)

    assert late.over is not None
    assert late.left is None
    assert late.over.x == axis.x(NOW - hours(5))
    assert early.over is None
    assert early.left is not None


def test_a_dressing_never_charted_has_no_worn_bar(axis: TimeAxis) -> None:
    unknown = task(state="due", due=0, why=("Dressing never charted",))
    strip = strip_of(
        record(applied=None), (unknown,), standing_of((unknown,), NOW, UTC), axis
    )

    assert strip.drawing.worn is None
    assert strip.head.state == "Now: dressing never charted"
    assert "Nobody charted" in strip.alt


def test_changes_before_the_axis_or_still_to_come_have_no_mark(axis: TimeAxis) -> None:
    start = (axis.start - NOW).total_seconds() / 3600
    state = record(
        changes=(
            (start - 1, "planned"),
            (start, "planned"),
            (-20, "damp"),
            (1, "early"),
        )
    ).state

    marks = draw_line(state, (), axis).marks

    assert [mark.look for mark in marks] == ["planned", "early"]


def test_other_tasks_are_marked_where_they_fall_due(axis: TimeAxis) -> None:
    tasks = (task(due=9), task("connector", due=5), task("set", due=9999))

    assert draw_line(record().state, tasks, axis).others == (axis.x(NOW + hours(5)),)


def test_the_dressing_leads_unless_another_task_needs_hands() -> None:
    dressing, later = task(due=9), task("connector", due=5)
    overdue = task("set", "overdue", due=-2, over=-2)

    assert standing_of((later, dressing), NOW, UTC).head is dressing
    assert standing_of((overdue, dressing), NOW, UTC).head is overdue
    assert standing_of((), NOW, UTC).group == "fails"


@pytest.mark.parametrize(
    ("due", "group"), [(14.32, "today"), (14.34, "tomorrow"), (38.34, "days")]
)
def test_a_line_moves_to_the_next_group_at_midnight(due: float, group: str) -> None:
    assert standing_of((task(due=due),), NOW, UTC).group == group


def test_the_most_overdue_dressing_comes_first() -> None:
    lines = [
        standing_of((one,), NOW, UTC)
        for one in (
            task(due=1),
            task("set", "overdue", due=-90, over=-90),
            task(state="overdue", due=-2, over=-2),
            task(state="overdue", due=-5, over=-5),
        )
    ]

    ranked = sorted(lines, key=lambda line: line.order)

    assert [line.group for line in ranked] == [
        "dressing-now",
        "dressing-now",
        "other-now",
        "today",
    ]
    assert ranked[0].head is not None
    assert ranked[0].head.overdue_since == NOW - hours(5)


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (task(state="overdue", due=-5, over=-5), "Overdue 5 h"),
        (task(state="due", due=-1, over=-1, why=("Found loose.",)), "Now: found loose"),
        (task(state="due", why=("Nobody knows when this was last done.",)), "Now"),
        (task(due=9.5), "In 9 h 30 min"),
        (task(state="may-now", due=60), "May be done now, due in 2 d 12 h"),
        (task(state="too-early", not_before=20), "Not before tomorrow 05:40"),
        (task(state="on-finding"), "When it fails"),
        (task(state="later"), "No time set"),
    ],
)
def test_every_state_is_said_in_words(one: object, words: str) -> None:
    assert task_in_words(one, NOW, UTC).state == words  # type: ignore[arg-type]


def test_a_line_is_named_in_words_and_what_is_not_known_is_said() -> None:
    known = record(site="upper-arm", lumens=2)

    assert known.words == "PICC, left upper arm, 2 lumens"
    assert record().words == "PICC, site not charted"
