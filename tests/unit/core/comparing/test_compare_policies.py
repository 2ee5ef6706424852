"""What two sets are compared by is what their plans would say."""

from __future__ import annotations

from datetime import date, datetime
from itertools import combinations_with_replacement
from math import prod
from random import Random
from typing import TYPE_CHECKING, Any

import pytest
from benchmarks.more_rules import with_more_rules

from lumenkeep.core.comparing.children import rules_of_plan
from lumenkeep.core.comparing.sides import Side, outcome_decided, outcome_of
from lumenkeep.core.planning import decide_change, plan_change
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.core.policy.bounds import at_any_age
from lumenkeep.core.policy.solver import Diagrams, Grid, epochs_from
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from lumenkeep.core.model import Case

DAY = date(2026, 11, 25)
CHILDREN = 400


@pytest.mark.parametrize(
    ("one", "two"), list(combinations_with_replacement(shipped_sets(), 2))
)
def test_what_is_decided_alone_is_what_the_plan_says(one: str, two: str) -> None:
    sets = load_policy(one), load_policy(two)
    epoch = epochs_from(DAY, *sets)[0]
    books = [policy.on(epoch.day) for policy in sets]
    rules = [live for book in books for live in rules_of_plan(book)]
    grid = Grid(books, rules, epoch)
    over = Diagrams(grid.sizes)
    bounds = at_any_age(sets[0].bounds)

    def read(told: Any) -> Case:
        return case_from_mapping(told, "example", bounds=bounds)

    sides = [
        Side(policy, book, grid, over, read)
        for policy, book in zip(sets, books, strict=True)
    ]
    answers = [side.answers() for side in sides]
    drawn = Random(one + two)  # noqa: S311  which children, always the same
    verdicts = set()
    for _ in range(CHILDREN):
        point = [drawn.randrange(size) for size in grid.sizes]
        told, at = grid.case(point)
        case, instant = read(told), datetime.fromisoformat(at)
        for side, answered in zip(sides, answers, strict=True):
            said = outcome_of(plan_change(case, instant, side.policy))
            assert outcome_decided(decide_change(case, instant, side.policy)) == said
            assert over.at(answered.antiseptic, point) == ((said.verdict, said.agent),)
            assert over.at(answered.technique, point) == (side.way(said),)
            cover = (said.dressing, said.stays_h) if said.verdict == "plan" else None
            assert over.at(answered.dressing, point) == (cover,)
            verdicts.add(said.verdict)
    assert "plan" in verdicts


def test_with_each_further_rule_diagrams_grow_and_do_not_double() -> None:
    """What the time of a comparison rests on: the grid doubles, the diagrams do not."""
    one = load_policy("quillmere")
    bounds = at_any_age(one.bounds)
    points, nodes = [], []
    for more in (8, 16):
        sets = one, with_more_rules(more)
        epoch = epochs_from(DAY, *sets)[0]
        books = [policy.on(epoch.day) for policy in sets]
        rules = [live for book in books for live in rules_of_plan(book)]
        grid = Grid(books, rules, epoch)
        over = Diagrams(grid.sizes)
        for policy, book in zip(sets, books, strict=True):
            Side(
                policy,
                book,
                grid,
                over,
                lambda told: case_from_mapping(told, "example", bounds=bounds),
            ).answers()
        points.append(prod(grid.sizes))
        nodes.append(len(over._nodes))

    assert points[1] > 20 * points[0]
    assert nodes[1] < 6 * nodes[0]
    assert nodes[1] < points[1] / 10_000
