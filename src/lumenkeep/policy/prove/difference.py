"""Where two policies answer differently, as the fewest regions of children.

The grid of both sets' limits has finitely many points. Axes on which the answers do
not depend are folded away; what is left of each pair of answers is cut into the
fewest boxes. A second query to the solver shows that the boxes neither overlap nor
leave out a child for whom the formulas differ.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import TYPE_CHECKING, Any, Generic, TypeVar

import z3

from lumenkeep.policy.prove.boxes import Box, Point, fewest_boxes
from lumenkeep.policy.prove.grid import PLAIN, Axis, Grid, Place, case_at

if TYPE_CHECKING:
    from lumenkeep.policy.prove.epoch import Epoch

A = TypeVar("A", bound=Hashable)
B = TypeVar("B", bound=Hashable)
Ask = Callable[[dict[str, Any], str], A]


@dataclass(frozen=True, slots=True)
class Region:
    """Children with one answer: the run of places on each axis, and an example.

    ``words`` says who they are, one condition a fact; empty means every child.
    """

    words: tuple[str, ...]
    formula: z3.BoolRef
    case: dict[str, Any]
    at: str


@dataclass(frozen=True, slots=True)
class Cut(Generic[B]):
    """All regions, by answer; ``is_fewest`` if fewer cannot do."""

    regions: tuple[tuple[B, Region], ...]
    is_fewest: bool


def answers_on(grid: Grid, ask: Ask[A]) -> dict[Point, A]:
    """Return the answer to the example child of every point of the grid.

    Parameters
    ----------
    grid
        The children, cut by limits.
    ask
        Gives the answer to a case at an instant.
    """
    points = product(*(range(len(axis.places)) for axis in grid.axes))
    return {point: ask(*case_at(grid.axes, point, grid.epoch)) for point in points}


def regions_of(
    grid: Grid, answers: Mapping[Point, A], what: Callable[[A], B | None]
) -> Cut[B]:
    """Return the fewest regions within each of which ``what`` is one thing.

    Parameters
    ----------
    grid
        The children, cut by limits.
    answers
        See `answers_on`.
    what
        What to tell answers apart by; None for those that are not to be described.
    """
    axes, folded = _folded(grid.axes, {p: what(a) for p, a in answers.items()})
    classes: dict[B, list[Point]] = {}
    for point, answer in folded.items():
        if answer is not None:
            classes.setdefault(answer, []).append(point)
    found: list[tuple[B, Region]] = []
    is_fewest = True
    for answer, points in classes.items():
        partition = fewest_boxes(points)
        is_fewest &= partition.is_fewest
        found += [(answer, _region(axes, box, grid.epoch)) for box in partition.boxes]
    return Cut(tuple(found), is_fewest)


def _folded(
    axes: Sequence[Axis], answers: dict[Point, B | None]
) -> tuple[tuple[Axis, ...], dict[Point, B | None]]:
    """Join neighbouring places that make no difference to any answer."""
    kept = list(axes)
    now = answers
    for number in range(len(kept)):
        slices: dict[int, dict[Point, B | None]] = {}
        for point, answer in now.items():
            rest = (*point[:number], *point[number + 1 :])
            slices.setdefault(point[number], {})[rest] = answer
        runs: list[list[int]] = []
        for place in range(len(kept[number].places)):
            if runs and slices[place] == slices[runs[-1][0]]:
                runs[-1].append(place)
            else:
                runs.append([place])
        kept[number] = Axis(
            kept[number].fact,
            tuple(_joined(kept[number], run[0], run[-1]) for run in runs),
        )
        now = {
            (*rest[:number], position, *rest[number:]): answer
            for position, run in enumerate(runs)
            for rest, answer in slices[run[0]].items()
        }
    return tuple(kept), now


def _joined(axis: Axis, first: int, last: int) -> Place:
    run = axis.places[first : last + 1]
    start, end = run[0].start, run[-1].end
    if axis.fact in ("skin_at_site", "site", "line_kind", "unit"):
        start = " or ".join(place.start or "" for place in run)
    formula = z3.Or([place.formula for place in run])
    plain = next((p.stands for p in run if p.stands in PLAIN), run[0].stands)
    return Place(start, end, formula, plain)


def _region(axes: Sequence[Axis], box: Box, epoch: Epoch) -> Region:
    joined = [
        _joined(axis, low, high) for axis, (low, high) in zip(axes, box, strict=True)
    ]
    words = [
        text
        for axis, (low, high), place in zip(axes, box, joined, strict=True)
        if (low, high) != (0, len(axis.places) - 1)
        for text in [_in_words(axis.fact, place)]
    ]
    example = [
        Axis(axis.fact, (place,)) for axis, place in zip(axes, joined, strict=True)
    ]
    case, at = case_at(example, [0] * len(axes), epoch)
    return Region(tuple(words), z3.And([place.formula for place in joined]), case, at)


def _in_words(fact: str, place: Place) -> str:
    name, _, word = fact.partition(":")
    if word:
        if name == "sensitivities":
            return f"{word} is {'not ' if place.stands else ''}tolerated"
        return f"{word}: {'yes' if place.stands else 'no'}"
    if name in ("skin_at_site", "site", "line_kind", "unit"):
        labels = {"skin_at_site": "skin", "line_kind": "line", "unit": "unit"}
        return f"{labels.get(name, name)}: {place.start}"
    low, high = place.start, place.end
    from_, to = {
        "age": ("at least {} old", "younger than {}"),
        "gestation_at_birth": ("born at {} or later", "born before {}"),
        "mass": ("at least {}", "lighter than {}"),
        "lumens": ("{} lumens or more", "fewer than {} lumens"),
    }[name]
    parts = [
        text.format(limit)
        for text, limit in ((from_, low), (to, high))
        if limit is not None
    ]
    return " and ".join(parts)


def faults_of_cut(
    grid: Grid, regions: Sequence[Region], described: z3.BoolRef
) -> Iterator[str]:
    """Yield what is wrong with regions that should be exactly ``described``.

    The solver is asked anew: whether two regions share a child, whether one holds a
    child that is not described, and whether a described child lies in none.
    """
    solver = z3.Solver()
    solver.add(*grid.child.assumptions, grid.child.is_wholly_known())
    for (i, one), (j, two) in combinations(enumerate(regions), 2):
        if solver.check(one.formula, two.formula) != z3.unsat:
            yield f"regions {i} and {j} overlap"
    inside = z3.Or([region.formula for region in regions])
    if solver.check(described, z3.Not(inside)) != z3.unsat:
        yield "a child for whom the answers differ lies in no region"
    if solver.check(inside, z3.Not(described)) != z3.unsat:
        yield "a region holds a child for whom the answers do not differ"
