"""Regions of children within which two answers are one thing, and the check of them."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from operator import eq
from typing import TYPE_CHECKING, Any, Generic, TypeVar

import z3

from lumenkeep.core.model.closed_facts import CLOSED_FACTS
from lumenkeep.core.policy.solver.cover import cover
from lumenkeep.core.policy.solver.diagram import Box, Diagrams, Node
from lumenkeep.core.policy.solver.grid import (
    CHOICE_LABELS,
    PLAIN,
    Grid,
    choices_in_words,
)
from lumenkeep.core.policy.solver.sums import POSTMENSTRUAL

if TYPE_CHECKING:
    from lumenkeep.core.policy.solver.places import FactAxis

B = TypeVar("B", bound=Hashable)
GROWING = ("gestation_at_birth", "mass")
"""Facts of which a child of whom nothing is said has much."""
FACT_LABELS = {fact.name: fact.short or fact.label for fact in CLOSED_FACTS}
LIMITS_IN_WORDS = {
    "age": ("at least {} old", "younger than {}"),
    "gestation_at_birth": ("born at {} or later", "born before {}"),
    "mass": ("at least {}", "lighter than {}"),
    "lumens": ("{} lumens or more", "fewer than {} lumens"),
    POSTMENSTRUAL: (
        "at least {} of postmenstrual age",
        "less than {} of postmenstrual age",
    ),
}
JUST_ABOVE = {
    "gestation_at_birth": ("born after {}", "born at {} or earlier"),
    "mass": ("heavier than {}", "at most {}"),
    "lumens": ("more than {} lumens", "{} lumens or fewer"),
    POSTMENSTRUAL: (
        "more than {} of postmenstrual age",
        "at most {} of postmenstrual age",
    ),
}


@dataclass(frozen=True, slots=True)
class Region:
    """Children with one answer: a box of the grid, and one of them.

    Attributes
    ----------
    words
        Who they are, one condition a fact; empty means every child.
    formula
        The same over the grid's symbolic child.
    inside
        The same as a diagram, only points at which there can be a child.
    case, at
        The example.
    """

    words: tuple[str, ...]
    formula: z3.BoolRef
    inside: Node
    case: dict[str, Any]
    at: str


@dataclass(frozen=True, slots=True)
class Cut(Generic[B]):
    """All regions, by answer; ``is_fewest`` if fewer cannot do."""

    regions: tuple[tuple[B, Region], ...]
    is_fewest: bool


def regions_of(
    grid: Grid, over: Diagrams, answers: Node, what: Callable[[Any], B | None]
) -> Cut[B]:
    """Return few regions within each of which ``what`` is one thing.

    Regions of one answer may overlap; those of two answers never do.

    Parameters
    ----------
    grid
        The children, cut by limits.
    over
        Diagrams over its axes.
    answers
        The answer at every point.
    what
        What to tell answers apart by; None for those that are not to be described.
    """
    labels = over.told(answers, what)
    here = grid.is_child(over)
    found: list[tuple[B, Region]] = []
    is_fewest = True
    for label in over.examples(labels):
        if label is None:
            continue
        held = over.told(labels, partial(eq, label))
        wanted = over.both(held, here)
        if wanted == over.no:
            continue
        covered = cover(over, wanted, grid.is_run, over.opposite(here))
        is_fewest &= covered.is_fewest
        found += [(label, _region(grid, over, wanted, box)) for box in covered.boxes]  # type: ignore[misc]  # a label
    return Cut(tuple(found), is_fewest)


def _region(grid: Grid, over: Diagrams, wanted: Node, box: Box) -> Region:
    limited = [n for n, axis in enumerate(grid.axes) if len(box[n]) < len(axis.places)]
    words = tuple(_in_words(grid.axes[n], box[n]) for n in limited)
    formula = z3.And(
        [z3.Or([grid.axes[n].places[p].formula for p in box[n]]) for n in limited]
    )
    inside = over.both(wanted, over.in_box(box))
    case, at = grid.case(_ordinary(grid, over, inside, box))
    return Region(words, formula, inside, case, at)


def _ordinary(grid: Grid, over: Diagrams, inside: Node, box: Box) -> tuple[int, ...]:
    """Return a point of a region at which there is as little special as can be."""
    point = list(over.first(inside))
    for number, axis in enumerate(grid.axes):
        plain = [n for n in box[number] if _is_plain(axis, n)]
        if axis.fact in GROWING and len(box[number]) == len(axis.places):
            plain = [box[number][-1]]
        for place in plain[:1]:
            moved = [*point[:number], place, *point[number + 1 :]]
            if over.at(inside, moved) is True:
                point = moved
    return tuple(point)


def _is_plain(axis: FactAxis, place: int) -> bool:
    return axis.fact in PLAIN and axis.places[place].stands == PLAIN[axis.fact]


def _in_words(axis: FactAxis, places: Sequence[int]) -> str:
    name, _, word = axis.fact.partition(":")
    if word:
        has = axis.places[places[0]].stands
        if name == "sensitivities":
            return f"{word} is {'not ' if has else ''}tolerated"
        return f"{word}: {'yes' if has else 'no'}"
    if name in CHOICE_LABELS:
        group = [one for place in places for one in axis.places[place].choices]
        return f"{FACT_LABELS[name]}: {choices_in_words(name, group)}"
    first, last = axis.places[places[0]], axis.places[places[-1]]
    parts = []
    if first.start is not None:
        is_above = first.low is not None and first.low[1]
        parts.append(_limit(name, 0, is_above=is_above).format(first.start))
    if last.end is not None:
        is_above = last.high is not None and last.high[1]
        parts.append(_limit(name, 1, is_above=is_above).format(last.end))
    return " and ".join(parts)


def _limit(name: str, end: int, *, is_above: bool) -> str:
    return (JUST_ABOVE if is_above else LIMITS_IN_WORDS)[name][end]


def faults_of_cut(
    grid: Grid, regions: Sequence[tuple[Hashable, Region]], described: z3.BoolRef
) -> Iterator[str]:
    """Yield what is wrong with regions that should be exactly ``described``.

    The solver is asked anew: whether a child lies in regions of two answers, whether a
    region holds a child that is not described, and whether a described child lies in
    none.
    """
    solver = z3.Solver()
    solver.add(*grid.assumptions)
    groups: dict[Hashable, list[z3.BoolRef]] = {}
    for label, region in regions:
        groups.setdefault(label, []).append(region.formula)
    wholes = [z3.Or(parts) for parts in groups.values()]
    if len(wholes) > 1:
        # One yes or no a group, so that the solver counts groups and not their parts.
        marks = [z3.Bool(f"group_{n}") for n in range(len(wholes))]
        solver.push()
        solver.add([mark == one for mark, one in zip(marks, wholes, strict=True)])
        if solver.check(z3.AtLeast(*marks, 2)) != z3.unsat:
            yield "a child lies in regions of two answers"
        solver.pop()
    inside = z3.Or(wholes)
    if solver.check(described, z3.Not(inside)) != z3.unsat:
        yield "a child for whom the answers differ lies in no region"
    if solver.check(inside, z3.Not(described)) != z3.unsat:
        yield "a region holds a child for whom the answers do not differ"
