"""For which children two sets answer differently, in every stretch of days to come."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.core.comparing.reasons import Reason, reasons_for
from lumenkeep.core.comparing.sides import ReadCase, Side
from lumenkeep.core.comparing.tasks import TaskAsked, task_differences, tasks_asked
from lumenkeep.core.policy.solver import (
    Diagrams,
    Grid,
    differs,
    epochs_from,
    faults_of_cut,
    regions_of,
)
from lumenkeep.errors import NoRuleError

if TYPE_CHECKING:
    from lumenkeep.core.policy import LiveRule, Policy, Rule, RuleBook
    from lumenkeep.core.policy.solver import Epoch, Region

Said = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class ChildrenDifference:
    """Children whom the two sets answer differently.

    Attributes
    ----------
    aspect
        What differs: "antiseptic", "technique", "dressing", or "due".
    who
        Conditions in plain words, all of which hold; empty means every child.
    one, two
        What each set answers there, by name: verdict and agent; of how an antiseptic
        is used only what differs; dressing and stay (hours); window of a task.
    why_one, why_two
        The rules of each that decide for the children of the region.
    case, at
        An example: a case file and the instant to ask about.
    from_on, until_on
        First day, and first day no more, on which it is so; None: now, for good.
    """

    aspect: str
    who: tuple[str, ...]
    one: Said
    two: Said
    why_one: tuple[Reason, ...]
    why_two: tuple[Reason, ...]
    case: dict[str, Any]
    at: str
    from_on: date | None = None
    until_on: date | None = None

    @property
    def is_told_by(self) -> Hashable:
        """What makes two differences of two stretches of days one."""
        return (
            self.aspect,
            self.who,
            tuple(self.one.items()),
            tuple(self.two.items()),
            self.why_one,
            self.why_two,
        )


@dataclass(frozen=True, slots=True)
class FoundDifferences:
    """Differences, whether fewer cannot do, and what is not exact.

    ``left_out`` are aspects that could not be compared so, each with why; ``nobody``
    are ages that nobody is taken to have.
    """

    differences: tuple[ChildrenDifference, ...]
    is_fewest: bool = True
    faults: tuple[str, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()
    nobody: tuple[str, ...] = ()


def differences_over_children(
    one: Policy,
    two: Policy,
    day: date,
    read_case: ReadCase,
    tell: Callable[[str], None],
) -> FoundDifferences:
    """Return for which children two sets answer differently, from a day on.

    Parameters
    ----------
    one, two
        The sets, or two versions of one.
    day
        Day from which answers matter.
    read_case
        Reads a case from its mapping.
    tell
        Is told what is worked on.
    """
    epochs = epochs_from(day, one, two)
    stretches: list[tuple[Epoch, FoundDifferences]] = []
    before: Hashable = object()
    for epoch in epochs:
        try:
            books = (one.on(epoch.day), two.on(epoch.day))
        except NoRuleError as error:
            why = tuple((aspect, error.fault.what) for aspect in (*ASPECTS, DUE))
            stretches.append((epoch, FoundDifferences((), left_out=why)))
            continue
        stamp = tuple(_stamp(book) for book in books)
        if stamp == before:
            continue
        before = stamp
        tell(f"answers from {epoch.day}" if stretches else "answers of today")
        stretches.append((epoch, _of_epoch((one, two), books, epoch, read_case, tell)))
    parts = [found for _, found in stretches]
    return FoundDifferences(
        tuple(_joined(stretches)),
        all(found.is_fewest for found in parts),
        tuple(dict.fromkeys(fault for found in parts for fault in found.faults)),
        tuple(dict.fromkeys(line for found in parts for line in found.left_out)),
        tuple(dict.fromkeys(age for found in parts for age in found.nobody)),
    )


def _joined(
    stretches: Sequence[tuple[Epoch, FoundDifferences]],
) -> Iterator[ChildrenDifference]:
    """Yield each difference once, with the days on which it is so."""
    told = [{d.is_told_by: d for d in found.differences} for _, found in stretches]
    for number, (epoch, _) in enumerate(stretches):
        for key, difference in told[number].items():
            if number and key in told[number - 1]:
                continue
            ends = [n for n in range(number, len(told)) if key not in told[n]]
            yield replace(
                difference,
                from_on=epoch.day if number else None,
                until_on=stretches[ends[0]][0].day if ends else None,
            )


def _of_epoch(
    policies: tuple[Policy, Policy],
    books: tuple[RuleBook, RuleBook],
    epoch: Epoch,
    read_case: ReadCase,
    tell: Callable[[str], None],
) -> FoundDifferences:
    parts = []
    for aspects, work in ((tuple(ASPECTS), _of_plan), ((DUE,), _of_tasks)):
        try:
            parts.append(work(policies, books, epoch, read_case, tell))
        except NoRuleError as error:
            why = tuple((aspect, error.fault.what) for aspect in aspects)
            parts.append(FoundDifferences((), left_out=why))
    return FoundDifferences(
        tuple(one for found in parts for one in found.differences),
        all(found.is_fewest for found in parts),
        tuple(fault for found in parts for fault in found.faults),
        tuple(line for found in parts for line in found.left_out),
        tuple(age for found in parts for age in found.nobody),
    )


def _of_plan(
    policies: tuple[Policy, Policy],
    books: tuple[RuleBook, RuleBook],
    epoch: Epoch,
    read_case: ReadCase,
    tell: Callable[[str], None],
) -> FoundDifferences:
    grid = Grid(books, [live for book in books for live in rules_of_plan(book)], epoch)
    over = Diagrams(grid.sizes)
    sides = [
        Side(policy, book, grid, over, read_case)
        for policy, book in zip(policies, books, strict=True)
    ]
    first, second = (side.answers() for side in sides)
    formulas = differs(*books, grid.child)
    found: list[ChildrenDifference] = []
    faults: list[str] = []
    is_fewest = True
    for aspect, apart in ASPECTS.items():
        tell(aspect)
        both = over.apply(
            "pair", _pair, getattr(first, aspect), getattr(second, aspect)
        )
        if aspect == "dressing":
            plans = over.apply("pair", _pair, first.antiseptic, second.antiseptic)
            both = over.apply("where planned", _where_planned, both, plans)
        cut = regions_of(grid, over, both, apart)
        faults += faults_of_cut(grid, cut.regions, formulas[aspect])
        is_fewest &= cut.is_fewest
        found += [
            _difference(aspect, label, region, sides) for label, region in cut.regions
        ]
    return FoundDifferences(
        tuple(found), is_fewest, tuple(faults), nobody=tuple(grid.nobody)
    )


def rules_of_plan(book: RuleBook) -> Iterator[LiveRule[Rule]]:
    """Yield the rules that antiseptic, its use and the dressing hang on."""
    chosen = {*book.policy.antiseptics, *book.policy.dressings}
    yield from (live for live in book.exclusions if chosen & set(live.rule.bars))
    yield from book.referrals
    yield from book.site_rules
    yield from book.films
    yield from book.intervals_of("dressing")


def _pair(one: Any, two: Any) -> Hashable:
    return None if one is None or two is None else (one[0], two[0])


def _where_planned(both: Any, plans: Any) -> Hashable:
    if both is None or {plans[0][0], plans[1][0]} != {"plan"}:
        return None
    return tuple(both)


def _antiseptic(pair: Any) -> Hashable | None:
    return None if pair is None or pair[0] == pair[1] else _named(pair, ANTISEPTIC)


def _dressing(pair: Any) -> Hashable | None:
    """Return the two dressings; of one dressing how long it may stay."""
    if pair is None or pair[0] == pair[1]:
        return None
    named = DRESSING if pair[0][0] == pair[1][0] else DRESSING[:1]
    return _named(pair, named)


def _technique(pair: Any) -> Hashable | None:
    """Return what of the use of one antiseptic differs."""
    if pair is None or None in pair or pair[0] == pair[1] or pair[0][0] != pair[1][0]:
        return None
    kept = [n for n, (a, b) in enumerate(zip(*pair, strict=True)) if a != b or n == 0]
    return tuple(tuple(side[n] for n in kept) for side in pair)


def _named(pair: Any, names: tuple[str, ...]) -> Hashable:
    return tuple(tuple(zip(names, said, strict=False)) for said in pair)


DUE = "due"
ANTISEPTIC = ("verdict", "agent")
DRESSING = ("dressing", "stays_h")
ASPECTS: dict[str, Callable[[Any], Hashable | None]] = {
    "antiseptic": _antiseptic,
    "technique": _technique,
    "dressing": _dressing,
}
"""What two answers are told apart by, one aspect at a time."""


def _difference(
    aspect: str, label: Any, region: Region, sides: Sequence[Side]
) -> ChildrenDifference:
    said = [dict(one) for one in label]
    why = [
        reasons_for(side, aspect, one, region.inside)
        for side, one in zip(sides, said, strict=True)
    ]
    return ChildrenDifference(
        aspect, region.words, said[0], said[1], why[0], why[1], region.case, region.at
    )


def _of_tasks(
    policies: tuple[Policy, Policy],
    books: tuple[RuleBook, RuleBook],
    epoch: Epoch,
    read_case: ReadCase,
    tell: Callable[[str], None],
) -> FoundDifferences:
    found: list[ChildrenDifference] = []
    faults: list[str] = []
    nobody: list[str] = []
    is_fewest = True
    for asked in tasks_asked(books):
        tell(asked.task)
        cut, formula, grid, sides = task_differences(
            asked, policies, books, epoch, read_case
        )
        faults += faults_of_cut(grid, cut.regions, formula)
        nobody += grid.nobody
        is_fewest &= cut.is_fewest
        found += [
            _task_difference(asked, label, region, sides)
            for label, region in cut.regions
        ]
    return FoundDifferences(
        tuple(found), is_fewest, tuple(faults), nobody=tuple(nobody)
    )


def _task_difference(
    asked: TaskAsked, label: Any, region: Region, sides: Sequence[Side]
) -> ChildrenDifference:
    said = [{"task": asked.task, **asked.planned, **dict(one)} for one in label]
    why = [asked.reasons(side, region.inside) for side in sides]
    return ChildrenDifference(
        DUE, region.words, said[0], said[1], why[0], why[1], region.case, region.at
    )


def _stamp(book: RuleBook) -> Hashable:
    """Return what the answers of a day hang on: every number that a rule names."""
    numbers = book.policy.numbers
    rules = [*rules_of_plan(book), *book.intervals]
    named = {
        content
        for rule in (*(live.rule for live in rules), *book.policy.agents.values())
        for one in fields(rule)
        if isinstance(content := getattr(rule, one.name), str) and content in numbers
    }
    named |= {
        c.number for live in rules for row in live.when.rows for c in row if c.number
    }
    return tuple((name, book.value(name)) for name in sorted(named))
