"""The decision chart told in words: numbered steps that lead on to each other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.text.policy.decision_chart import ANSWER, COVER, QUESTION, START, STOP
from lumenkeep.text.policy.decision_layout import in_order
from lumenkeep.text.policy.words import capital, lower_first

if TYPE_CHECKING:
    from lumenkeep.text.policy.decision_chart import DecisionChart, Node, Way


@dataclass(frozen=True, slots=True)
class Lead:
    """Where a step leads, and when."""

    when: str
    to: str


@dataclass(frozen=True, slots=True)
class ChartStep:
    """One step.

    Attributes
    ----------
    number
        Its number, also shown in the chart.
    asks
        The question.
    items
        What it asks about: any one of these is enough.
    one, none
        Where it leads if one of them is so, and if none is.
    """

    number: int
    asks: str
    items: tuple[str, ...]
    one: Lead
    none: Lead


def step_numbers(chart: DecisionChart) -> dict[str, int]:
    """Return the number of each question, in the order in which they are reached."""
    asked = [key for key in in_order(chart) if chart.node(key).kind == QUESTION]
    return {key: number for number, key in enumerate(asked, 1)}


def chart_steps(chart: DecisionChart) -> tuple[ChartStep, ...]:
    """Return the whole chart as numbered steps."""
    numbers = step_numbers(chart)
    found = []
    for key, number in numbers.items():
        node = chart.node(key)
        ends = {way.so: way for way in chart.ways_from(key)}
        one, none = (_way_on(chart, ends[so], numbers) for so in (True, False))
        found.append(ChartStep(number, node.title, node.lines, one, none))
    return tuple(found)


def _way_on(chart: DecisionChart, way: Way, numbers: dict[str, int]) -> Lead:
    return Lead(capital(way.word), _leads(chart, way.end, numbers))


def _leads(chart: DecisionChart, key: str, numbers: dict[str, int]) -> str:
    node = chart.node(key)
    if node.kind == QUESTION:
        return f"Go to step {numbers[key]}."
    if node.kind in (START, COVER):
        return _leads(chart, chart.ways_from(key)[0].end, numbers)
    text = _told(node)
    onward = [way.end for way in chart.ways_from(key)]
    if node.kind == ANSWER and onward:
        text += f" Then the dressing. {_leads(chart, onward[0], numbers)}"
    return text


def _told(node: Node) -> str:
    lines = [line.rstrip(".") for line in node.lines]
    if node.kind == STOP:
        return f"{node.title} {'; '.join(lines)}."
    told = "; ".join(lower_first(line) for line in lines)
    return f"{node.title}: {told}." if told else f"{node.title}."
