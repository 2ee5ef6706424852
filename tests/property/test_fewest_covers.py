"""Boxes cover what is wanted and nothing else, and no fewer do, by a search apart."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lumenkeep.core.policy.solver import cover as module
from lumenkeep.core.policy.solver.cover import cover, points_in
from lumenkeep.core.policy.solver.diagram import Diagrams

SIZES = (3, 3, 2)
IS_RUN = (True, False, True)
"""The second axis is one of words: a box takes any of them."""
PLACES = list(product(*(range(size) for size in SIZES)))
SETS = st.frozensets(st.sampled_from(PLACES), max_size=11)


def drawn(over: Diagrams, points: frozenset[tuple[int, ...]]) -> int:
    """A diagram that holds at these points, put together point by point."""
    found = over.no
    for point in points:
        found = over.either(found, over.in_box(tuple((place,) for place in point)))
    return found


def every_box() -> list[frozenset[tuple[int, ...]]]:
    choices = []
    for size, is_run in zip(SIZES, IS_RUN, strict=True):
        subsets = [
            places
            for count in range(1, size + 1)
            for places in combinations(range(size), count)
            if not is_run or places == tuple(range(places[0], places[-1] + 1))
        ]
        choices.append(subsets)
    return [frozenset(product(*box)) for box in product(*choices)]


BOXES = every_box()


def fewest_by_trying(
    wanted: frozenset[tuple[int, ...]], free: frozenset[tuple[int, ...]]
) -> int:
    """Try every box at every point that is left, and count."""
    allowed = [box for box in BOXES if box <= wanted | free]
    best = len(wanted)

    def count(left: frozenset[tuple[int, ...]], used: int) -> None:
        nonlocal best
        if not left:
            best = min(best, used)
            return
        if used + 1 >= best + 1:
            return
        here = min(left)
        for box in allowed:
            if here in box:
                count(left - box, used + 1)

    count(wanted, 0)
    return best


@settings(max_examples=60, deadline=None)
@given(SETS)
def test_boxes_cover_what_is_wanted_alone_and_are_the_fewest(points) -> None:
    over = Diagrams(SIZES)

    found = cover(over, drawn(over, points), IS_RUN)

    assert {p for box in found.boxes for p in points_in(box)} == points
    assert found.is_fewest
    assert len(found.boxes) == fewest_by_trying(points, frozenset())


@settings(max_examples=60, deadline=None)
@given(SETS, SETS)
def test_boxes_may_take_in_points_at_which_nobody_is(points, free) -> None:
    over = Diagrams(SIZES)
    wanted = points - free

    found = cover(over, drawn(over, points), IS_RUN, drawn(over, free))

    covered = {p for box in found.boxes for p in points_in(box)}
    assert wanted <= covered <= wanted | free
    assert found.is_fewest
    assert len(found.boxes) == fewest_by_trying(wanted, free)


@settings(max_examples=40, deadline=None)
@given(SETS)
def test_a_search_that_may_not_try_all_says_so_or_is_right(points) -> None:
    over = Diagrams(SIZES)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "MOST_POINTS", 0)
        found = cover(over, drawn(over, points), IS_RUN)

    assert {p for box in found.boxes for p in points_in(box)} == points
    if found.is_fewest:
        assert len(found.boxes) == fewest_by_trying(points, frozenset())


@given(SETS, SETS)
def test_diagrams_are_the_sets_that_they_were_put_together_from(one, two) -> None:
    over = Diagrams(SIZES)
    a, b = drawn(over, one), drawn(over, two)

    for node, points in (
        (over.both(a, b), one & two),
        (over.either(a, b), one | two),
        (over.opposite(a), frozenset(PLACES) - one),
    ):
        assert {p for p in PLACES if over.at(node, p) is True} == points
        assert over.count(node) == len(points)
    assert (a == b) is (one == two)
    pairs = over.together([a, b])
    for said, point in over.examples(pairs).items():
        assert said == (point in one, point in two)
