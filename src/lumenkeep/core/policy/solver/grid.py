"""Cut every child into cells by the limits of the rules that matter.

Each fact is an axis; its places are the pieces between the limits that the rules
compare it with, found and shown to be possible by the solver. A point of the grid is
a child with everything known; one example stands for all children of the point.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import z3

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.model.closed_facts import CLOSED_FACTS
from lumenkeep.core.model.quantities import SECONDS_PER_MINUTE
from lumenkeep.core.policy.bounds import at_any_age
from lumenkeep.core.policy.numbers import value_in_words
from lumenkeep.core.policy.solver.child import (
    MINUTES_PER_DAY,
    SETS,
    SymbolicChild,
    minutes,
)
from lumenkeep.core.policy.solver.chosen_case import TERM, chosen_case
from lumenkeep.core.policy.solver.places import (
    AxisPlace,
    Cut,
    FactAxis,
    instants_between,
)
from lumenkeep.core.policy.solver.sums import POSTMENSTRUAL, Sums
from lumenkeep.core.policy.vocabulary import PLANNED_FACTS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lumenkeep.core.policy.conditions import LiveComparison
    from lumenkeep.core.policy.policy import LiveRule, RuleBook
    from lumenkeep.core.policy.rules import Rule
    from lumenkeep.core.policy.solver.diagram import Diagrams, Node
    from lumenkeep.core.policy.solver.epoch import Epoch

PLAIN = {fact.name: fact.plain for fact in CLOSED_FACTS}
"""The answer of a child about whom there is nothing special, by the fact."""
CHOICE_LABELS = {fact.name: fact.answers for fact in CLOSED_FACTS}


class Grid:
    """Axes for all facts that rules compare.

    Parameters
    ----------
    books
        The rule books whose rules they are; the widest of their bounds count.
    rules
        The rules that matter.
    epoch
        Stretch of days in which the examples are asked about.

    Attributes
    ----------
    child
        The symbolic child that the places' formulas speak of.
    axes
        One for each fact, or for each member of a list.
    nobody
        Ages, in words, that the solver, which does not know how long a month is, holds
        for possible, and that no birth day of some years has: nobody is taken to be so
        old.
    """

    def __init__(
        self,
        books: Sequence[RuleBook],
        rules: Iterable[LiveRule[Rule]],
        epoch: Epoch,
    ) -> None:
        self.epoch = epoch
        self._comparisons = _comparisons(rules)
        if POSTMENSTRUAL in self._comparisons:
            # A sum of two facts is cut together with both.
            for fact in ("age", "gestation_at_birth"):
                self._comparisons.setdefault(fact, [])
        spans = {
            c.limit
            for c in self._comparisons.get("age", ())
            if isinstance(c.limit, CalendarSpan)
        }
        bounds = at_any_age(*(book.policy.bounds for book in books))
        self.child = SymbolicChild(spans, bounds, "_grid")
        self._solver = z3.Solver()
        self._solver.add(*self.child.assumptions, self.child.is_wholly_known())
        self.nobody: list[str] = []
        self.axes = tuple(self._axes())
        self.is_run = tuple(not axis.places[0].choices for axis in self.axes)
        self._sums = (
            Sums(self.axes, epoch, self.child.bounds["gestation"].counts, self.can_be)
            if POSTMENSTRUAL in self._comparisons
            else None
        )

    @property
    def sizes(self) -> tuple[int, ...]:
        """How many places each axis has."""
        return tuple(len(axis.places) for axis in self.axes)

    def numbers_of(self, fact: str) -> list[int]:
        """Return the axes of a fact."""
        return [n for n, a in enumerate(self.axes) if a.fact.partition(":")[0] == fact]

    def is_child(self, over: Diagrams) -> Node:
        """Return at which points there can be a child at all."""
        return over.yes if self._sums is None else self._sums.possible(over)

    @property
    def assumptions(self) -> list[z3.BoolRef]:
        """What every child of the grid satisfies."""
        found = [self.child.is_wholly_known()]
        if self._sums is not None:
            found.append(self._sums.is_one())
        found += [
            z3.Or([place.formula for place in self.axes[number].places])
            for number in self.numbers_of("age")
        ]
        return [*self.child.assumptions, *found]

    def can_be(self, formula: z3.BoolRef) -> bool:
        """Return whether there is such a child, as far as the solver knows."""
        return bool(self._solver.check(formula) == z3.sat)

    def case(self, point: Sequence[int]) -> tuple[dict[str, Any], str]:
        """Return the example child of a point, as a case and the instant to ask about."""
        chosen = {
            axis.fact: axis.places[place].stands
            for axis, place in zip(self.axes, point, strict=True)
        }
        if self._sums is not None:
            chosen |= self._sums.chosen(point)
        return chosen_case(chosen, self.epoch)

    def nearest(self, axis: int, place: int) -> list[int]:
        """Return a point with this place at which there can be a child."""
        point = [0] * len(self.axes)
        point[axis] = place
        return point if self._sums is None else self._sums.mended(point, axis)

    def _axes(self) -> Iterable[FactAxis]:
        known, child = self._comparisons, self.child
        if "age" in known:
            yield self._ages()
        terms = {
            "gestation_at_birth": (child.gestation, "gestation"),
            "mass": (child.mass, "mass-g"),
            "lumens": (child.lumens, "lumens"),
            POSTMENSTRUAL: (
                z3.ToReal(child.gestation) + child.age / MINUTES_PER_DAY,
                None,
            ),
        }
        for fact, (term, bound) in terms.items():
            if fact in known:
                low = child.bounds[bound].low if bound else 0
                places = _pieces(fact, term, known[fact], low)
                yield FactAxis(fact, tuple(p for p in places if self.can_be(p.formula)))
        yield from (
            _choices(f, true, known[f])
            for f, true in child.choice.items()
            if f in known
        )
        for fact, members in child.members.items():
            named = {w for c in known.get(fact, ()) for w in _words(c)}
            yield from (_member(fact, w, members[w]) for w in SETS[fact] if w in named)

    def _ages(self) -> FactAxis:
        """Return the pieces of life between the age limits, each proved possible."""
        limits = sorted({c.limit for c in self._comparisons["age"]}, key=_nominal)
        reached = {limit: self._reached(limit) for limit in limits}
        solver = z3.Solver()
        solver.add(*self._solver.assertions())
        places = []
        while solver.check() == z3.sat:
            model = solver.model()
            cell = z3.And(
                [
                    r if z3.is_true(model.eval(r, model_completion=True)) else z3.Not(r)
                    for r in reached.values()
                ]
            )
            place = self._age_place(cell, model, reached)
            places += [] if place is None else [place]
            solver.add(z3.Not(cell))
        places.sort(key=lambda place: place.stands[1] - place.stands[0])
        return FactAxis("age", tuple(places))

    def _reached(self, limit: Any) -> z3.BoolRef:
        if isinstance(limit, CalendarSpan):
            return self.child.calendar[limit][2]
        return self.child.age >= minutes(limit)

    def _age_place(
        self,
        cell: z3.BoolRef,
        model: z3.ModelRef,
        reached: dict[Any, z3.BoolRef],
    ) -> AxisPlace | None:
        met = [
            limit
            for limit, r in reached.items()
            if z3.is_true(model.eval(r, model_completion=True))
        ]
        unmet = [limit for limit in reached if limit not in met]
        stands = _born_and_at(met, unmet, self.epoch)
        if stands is None:
            self.nobody.append(
                f"{_limit_words('age', met[-1])} or older, and younger than {_limit_words('age', unmet[0])}"
            )
            return None
        return AxisPlace(
            start=_limit_words("age", met[-1]) if met else None,
            end=_limit_words("age", unmet[0]) if unmet else None,
            formula=cell,
            stands=stands,
            met=tuple(met),
            unmet=tuple(unmet),
        )


def _born_and_at(
    met: list[Any], unmet: list[Any], epoch: Epoch
) -> tuple[datetime, datetime] | None:
    """Return a birth and an instant of an age: at its start where it has one.

    None where no birth day that was tried has such an age.
    """
    for born in epoch.every_birth():
        first, last = instants_between(born, met, unmet, epoch)
        if last is None:
            return born, first
        if first < last:
            minute = timedelta(seconds=SECONDS_PER_MINUTE)
            return born, first if met else last - minute
    return None


def _comparisons(rules: Iterable[LiveRule[Rule]]) -> dict[str, list[LiveComparison]]:
    found: dict[str, list[LiveComparison]] = {}
    for live in rules:
        for row in live.when.rows:
            for c in row:
                if c.fact not in PLANNED_FACTS:
                    found.setdefault(c.fact, []).append(c)
    return found


def _nominal(limit: Any) -> float:
    return float(limit.nominal_hours())


def _words(c: LiveComparison) -> frozenset[str]:
    return c.limit if isinstance(c.limit, frozenset) else frozenset()


def _limit_words(fact: str, limit: Any) -> str:
    """Return a limit in words."""
    if isinstance(limit, Elapsed | CalendarSpan):
        return str(limit)
    unit = {"mass": "g", "lumens": "count"}.get(fact, "weeks+days")
    return value_in_words(limit, unit)


def _pieces(
    fact: str, term: Any, comparisons: list[LiveComparison], least: float
) -> Iterator[AxisPlace]:
    """Yield the pieces between limits; a limit itself is a piece if a test needs it."""
    cuts = sorted(
        {(float(c.limit), c.test in ("above", "at_most")) for c in comparisons}  # type: ignore[arg-type]  # a number
    )
    for position in range(len(cuts) + 1):
        low = cuts[position - 1] if position else None
        high = cuts[position] if position < len(cuts) else None
        inside = []
        if low is not None:
            inside.append(term > _exact(low[0]) if low[1] else term >= _exact(low[0]))
        if high is not None:
            inside.append(
                term <= _exact(high[0]) if high[1] else term < _exact(high[0])
            )
        yield AxisPlace(
            start=_limit_words(fact, low[0]) if low else None,
            end=_limit_words(fact, high[0]) if high else None,
            formula=z3.And(inside),
            stands=_between(low, high, least),
            low=low,
            high=high,
        )


def _between(low: Cut, high: Cut, least: float) -> float:
    """Return a value of a piece: at its lower limit, or near its upper one."""
    if low is None and high is None:
        return max(least, TERM)
    if low is None:
        assert high is not None  # noqa: S101  one of both
        return high[0] if high[1] else max(least, high[0] - 1)
    if not low[1]:
        return low[0]
    further = low[0] + 1
    if high is None or further < high[0] or (further == high[0] and high[1]):
        return further
    return (low[0] + high[0]) / 2


def _exact(value: float) -> z3.RatNumRef:
    return z3.RealVal(str(value))


def _choices(
    fact: str, true: z3.ArithRef, comparisons: list[LiveComparison]
) -> FactAxis:
    """Return the words of a closed list, those that no rule tells apart together."""
    allowed = list(CHOICE_LABELS[fact])
    groups: dict[tuple[bool, ...], list[str]] = {}
    for word in allowed:
        groups.setdefault(tuple(word in _words(c) for c in comparisons), []).append(
            word
        )
    places = tuple(
        AxisPlace(
            start=None,
            end=None,
            formula=z3.Or([true == allowed.index(word) for word in group]),
            stands=PLAIN[fact] if PLAIN[fact] in group else group[0],
            choices=tuple(group),
        )
        for group in groups.values()
    )
    return FactAxis(fact, places)


def choices_in_words(fact: str, group: Sequence[str]) -> str:
    """Return a group of words as labels; by what it is not, where that is shorter."""
    labels = CHOICE_LABELS[fact]
    rest = [word for word in labels if word not in group]
    if rest and len(rest) < len(group):
        return "not " + " nor ".join(labels[word].lower() for word in rest)
    return " or ".join(labels[word].lower() for word in labels if word in group)


def _member(fact: str, word: str, has: z3.BoolRef) -> FactAxis:
    return FactAxis(
        f"{fact}:{word}",
        (
            AxisPlace(None, None, z3.Not(has), stands=False),
            AxisPlace(word, None, has, stands=True),
        ),
    )
