"""The decision chart: complete, without crossings, the same each time, and told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import combinations
from xml.etree import ElementTree as ET

import pytest

from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.drawing.decision_svg import decision_svg
from lumenkeep.text.policy.decision_chart import (
    ANSWER,
    QUESTION,
    STOP,
    DecisionChart,
    Way,
    decision_chart,
)
from lumenkeep.text.policy.decision_layout import (
    ChartLayout,
    in_order,
    lay_out,
    text_width,
    wrapped,
)
from lumenkeep.text.policy.decision_steps import chart_steps, step_numbers

DAY = date(2026, 11, 25)
SVG = "{http://www.w3.org/2000/svg}"


def chart_of(name: str) -> DecisionChart:
    return decision_chart(load_policy(name).on(DAY))


@pytest.mark.parametrize("name", shipped_sets())
def test_every_place_is_reached_and_every_question_leads_two_ways(name: str) -> None:
    chart = chart_of(name)
    reached = {"start", *(way.end for way in chart.ways)}

    assert {node.key for node in chart.nodes} == reached
    for node in chart.nodes:
        answers = [way.so for way in chart.ways_from(node.key)]
        if node.kind == QUESTION:
            assert sorted(map(str, answers)) == ["False", "True"]
        elif node.kind == STOP:
            assert answers == []


@pytest.mark.parametrize("name", shipped_sets())
def test_every_antiseptic_and_dressing_has_its_answer(name: str) -> None:
    policy, chart = load_policy(name), chart_of(name)
    items = {node.item for node in chart.nodes if node.kind == ANSWER}

    assert items == {*policy.antiseptics, *policy.dressings}


def test_an_answer_tells_times_site_and_what_is_taken_off() -> None:
    lines = chart_of("quillmere").node("use-povidone-iodine").lines

    assert lines == (
        "3 swabs",
        "Dry at least 2 minutes",
        (
            "When born at 37 weeks 0 days or later and weighing 1500 g or more, and the "
            "line enters at the groin (femoral); or when at least 2 calendar months old "
            "and weighing 1500 g or more, and the line enters at the groin (femoral): "
            "scrub at least 2 minutes, dry at least 2 minutes"
        ),
        (
            "When born before 37 weeks 0 days and younger than 2 calendar months, and "
            "the line enters at the groin (femoral); or when lighter than 1500 g, and the "
            "line enters at the groin (femoral): scrub at least 30 seconds, dry at least "
            "2 minutes"
        ),
        "Then take it off with sterile saline",
    )


def test_a_circle_is_refused() -> None:
    chart = chart_of("quillmere")
    round_ = DecisionChart("", chart.nodes, (*chart.ways, Way("cover", "start")))

    with pytest.raises(ValueError, match="circle"):
        in_order(round_)


@pytest.mark.parametrize("name", shipped_sets())
def test_the_drawing_is_well_formed_named_and_the_same_each_time(name: str) -> None:
    text = decision_svg(chart_of(name))
    root = ET.fromstring(text)  # noqa: S314  our own text

    assert text == decision_svg(chart_of(name))
    assert root.find(f"{SVG}title") is not None
    assert root.find(f"{SVG}desc") is not None
    assert root.get("role") == "img"
    assert "style=" not in text
    assert "<style" not in text
    drawn = {el.get("data-key") for el in root.iter(f"{SVG}g")}
    assert drawn == {node.key for node in chart_of(name).nodes}


def laid_out(name: str) -> ChartLayout:
    chart = chart_of(name)
    return lay_out(chart, step_numbers(chart))


@pytest.mark.parametrize("name", shipped_sets())
def test_no_two_boxes_touch_and_no_text_leaves_its_box(name: str) -> None:
    boxes = laid_out(name).boxes
    for one, two in combinations(boxes, 2):
        apart_x = one.x + one.width <= two.x or two.x + two.width <= one.x
        apart_y = one.y + one.height < two.y or two.y + two.height < one.y
        assert apart_x or apart_y, (one.key, two.key)
    for box in boxes:
        for line in box.lines:
            assert line.x + text_width(line.text, 14) <= box.x + box.width, line.text
            assert box.y < line.y < box.y + box.height


@pytest.mark.parametrize("name", shipped_sets())
def test_no_two_arrows_cross_and_none_goes_through_a_box(name: str) -> None:
    layout = laid_out(name)
    legs = [
        (arrow, *sorted(pair))
        for arrow in layout.arrows
        for pair in zip(arrow.corners, arrow.corners[1:], strict=False)
    ]
    for (a, (ax, ay), (ax2, ay2)), (b, (bx, by), (bx2, by2)) in combinations(legs, 2):
        if a.end == b.end or a is b:
            continue  # ways to one place may run together
        level, upright = ((ax, ay, ax2, ay2), (bx, by, bx2, by2))
        if ay != ay2:
            level, upright = upright, level
        if level[1] != level[3] or upright[0] != upright[2]:
            continue  # both lie, or both stand
        crosses = (
            level[0] < upright[0] < level[2] and upright[1] < level[1] < upright[3]
        )
        assert not crosses, (a, b)
    for arrow, (x, y), (x2, y2) in legs:
        for box in layout.boxes:
            inside_x = x < box.x + box.width and x2 > box.x
            inside_y = y < box.y + box.height and y2 > box.y
            assert not (inside_x and inside_y), (arrow, box.key)


def test_what_nothing_bars_ends_the_line_of_questions() -> None:
    policy = replace(load_policy("quillmere"), exclusions=())
    chart = decision_chart(policy.on(DAY))

    assert [node.key for node in chart.nodes] == [
        "start",
        "use-chlorhexidine-alcohol",
        "cover",
        "cover-transparent-chg-gel",
    ]
    assert chart_steps(chart) == ()
    corners = [arrow.corners for arrow in lay_out(chart, {}).arrows]
    assert all(a[0] == b[0] for a, b in corners)  # straight down


def test_what_a_policy_is_called_cannot_break_out_of_the_drawing() -> None:
    policy = load_policy("quillmere")
    agent = policy.agents["povidone-iodine"]
    odd = replace(agent, id='a"><script>', label="<b>&\x01" + "m" * 90)
    policy = replace(policy, agents={odd.id: odd}, antiseptics=(odd.id,), exclusions=())

    text = decision_svg(decision_chart(policy.on(DAY)))

    root = ET.fromstring(text)  # noqa: S314  our own text
    assert "script" not in {el.tag for el in root.iter()}
    keys = [el.get("data-key") for el in root.iter(f"{SVG}g")]
    assert 'use-a"><script>' in keys


def test_text_breaks_at_spaces_only() -> None:
    lines = list(wrapped("born before 28 weeks 0 days and younger than", 120, 14))

    assert " ".join(lines) == "born before 28 weeks 0 days and younger than"
    assert len(lines) > 1


def test_the_steps_tell_the_whole_chart() -> None:
    steps = chart_steps(chart_of("us-guideline"))

    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    assert steps[0].asks == "Must a person decide?"
    assert steps[0].items == ("younger than 2 calendar months",)
    assert steps[0].one.when == "If so"
    assert steps[0].one.to == (
        "Stop and call the neonatologist in charge, or the vascular access specialist."
    )
    assert steps[0].none.to == "Go to step 2."
    assert steps[1].none.to.endswith("Then the dressing. Go to step 5.")
    assert steps[-1].one.to == "Gauze: stays 2 days at most."


@pytest.mark.parametrize("name", shipped_sets())
def test_every_step_named_is_there(name: str) -> None:
    steps = chart_steps(chart_of(name))
    numbers = {f"step {step.number}." for step in steps}

    for step in steps:
        for lead in (step.one, step.none):
            named = lead.to.partition("Go to ")[2]
            assert not named or named in numbers
