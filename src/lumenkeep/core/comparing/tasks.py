"""When each task is due, over all lines: each dressing worn and each kind of set apart."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Any

from lumenkeep.core.comparing.reasons import foremost
from lumenkeep.core.comparing.sides import Side
from lumenkeep.core.policy import window_for
from lumenkeep.core.policy.solver import Diagrams, Grid, regions_of, window_differs
from lumenkeep.core.policy.vocabulary import FACTS, PLANNED_FACTS, TASKS
from lumenkeep.errors import RuleConflictError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.comparing.reasons import Reason
    from lumenkeep.core.comparing.sides import ReadCase
    from lumenkeep.core.policy import LiveRule, Policy, RuleBook, Situation
    from lumenkeep.core.policy.rules import Interval
    from lumenkeep.core.policy.solver import Epoch, Node
    from lumenkeep.core.policy.solver.regions import Cut


@dataclass(frozen=True, slots=True)
class TaskAsked:
    """A task, and what lies on or hangs there where that makes a difference."""

    task: str
    planned: Mapping[str, str]

    def reasons(self, side: Side, region: Node) -> tuple[Reason, ...]:
        """Return the intervals of a set that count for lines of a region."""
        intervals = side.book.intervals_of(self.task)
        return tuple(foremost(side, intervals, region, self.planned))


def tasks_asked(books: Sequence[RuleBook]) -> Iterator[TaskAsked]:
    """Yield the tasks of which two sets have not word for word the same intervals."""
    for task in TASKS:
        one, two = (
            [_spoken(book, live) for live in book.intervals_of(task)] for book in books
        )
        if sorted(one, key=repr) == sorted(two, key=repr):
            continue
        facts = sorted(
            {
                c.fact
                for book in books
                for live in book.intervals_of(task)
                for row in live.when.rows
                for c in row
                if c.fact in PLANNED_FACTS
            }
        )
        words = [FACTS[fact].allowed or _agents(books) for fact in facts]
        for chosen in product(*words):
            yield TaskAsked(task, dict(zip(facts, chosen, strict=True)))


def _agents(books: Sequence[RuleBook]) -> list[str]:
    return list(dict.fromkeys(a for book in books for a in book.policy.agents))


def _spoken(book: RuleBook, live: LiveRule[Interval]) -> Hashable:
    """Return what an interval does and for whom, with the values of the day."""
    rule = live.rule
    return (
        tuple(
            frozenset((c.fact, c.test, c.limit) for c in row) for row in live.when.rows
        ),
        book.value(rule.not_before) if rule.not_before else None,
        book.value(rule.not_after) if rule.not_after else None,
        rule.priority,
        rule.nothing_due,
    )


def task_differences(
    asked: TaskAsked,
    policies: tuple[Policy, Policy],
    books: tuple[RuleBook, RuleBook],
    epoch: Epoch,
    read_case: ReadCase,
) -> tuple[Cut[Any], Any, Grid, list[Side]]:
    """Return regions of lines on which two sets give a task other times.

    Also the same as a formula, over the grid that is returned with it, and both sets.
    """
    rules = [live for book in books for live in book.intervals_of(asked.task)]
    grid = Grid(books, rules, epoch)
    over = Diagrams(grid.sizes)
    sides = [
        Side(policy, book, grid, over, read_case)
        for policy, book in zip(policies, books, strict=True)
    ]
    windows = [_windows(side, asked) for side in sides]
    both = over.apply("pair", _pair, *windows)
    formula = window_differs(*books, grid.child, asked.task, asked.planned)
    return regions_of(grid, over, both, _apart), formula, grid, sides


def _windows(side: Side, asked: TaskAsked) -> Node:
    parts = [
        side.held.rule(live, asked.planned)
        for live in side.book.intervals_of(asked.task)
    ]
    return side.told(
        parts, lambda point: _window(side.book, side.situation(point), asked)
    )


def _window(book: RuleBook, situation: Situation, asked: TaskAsked) -> Hashable:
    for fact, word in asked.planned.items():
        setattr(situation, fact, word)
    try:
        window = window_for(book, situation, asked.task)
    except RuleConflictError:
        return (("state", "conflict"),)
    if window is None:
        return (("state", "not spoken of"),)
    if window.is_nothing:
        return (("state", "nothing due"),)
    spans = {"not_before": window.not_before, "not_after": window.not_after}
    return (
        *((f"{k}_h", s.nominal_hours() if s else None) for k, s in spans.items()),
        *((k, str(s) if s else None) for k, s in spans.items()),
    )


def _pair(one: Any, two: Any) -> Hashable:
    return None if one is None or two is None else (one[0], two[0])


def _apart(pair: Any) -> Hashable | None:
    """Return two windows that are not as long; the words beside them do not count."""
    if pair is None:
        return None
    one, two = (said[:2] for said in pair)
    return None if one == two else pair
