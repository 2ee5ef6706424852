"""Cut every child into cells by the limits of one or more rule books.

Each fact is an axis; its places are the pieces between the limits that the books
compare it with, found and shown to be possible by the solver. A point of the grid is
a child with everything known; one example stands for all children of the point.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import z3

from lumenkeep.errors import Fault, NoRuleError
from lumenkeep.model import CalendarSpan, Elapsed, weeks_and_days, words
from lumenkeep.model.quantities import SECONDS_PER_MINUTE
from lumenkeep.policy.numbers import value_in_words
from lumenkeep.policy.prove.child import SETS, SymbolicChild, minutes

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lumenkeep.policy.conditions import LiveComparison
    from lumenkeep.policy.policy import LiveRule, RuleBook
    from lumenkeep.policy.prove.epoch import Epoch
    from lumenkeep.policy.rules import Rule

TERM = 39 * 7
PLAIN = ("intact", "chest", "tunnelled", "ward")
"""Words of a child about whom there is nothing special."""
GROWN, TEN_YEARS = 4000, 3653
CHOICE_LABELS = {
    "skin_at_site": words.SKIN,
    "site": words.SITES,
    "line_kind": words.LINE_KINDS,
    "unit": words.UNITS,
}


@dataclass(frozen=True, slots=True)
class Place:
    """One piece of an axis.

    Attributes
    ----------
    start, end
        Words for where it begins and ends; None for the first and the last piece.
    formula
        What it is to lie here, over the grid's symbolic child.
    stands
        The value of the example: what goes into a case.
    """

    start: str | None
    end: str | None
    formula: z3.BoolRef
    stands: Any


@dataclass(frozen=True, slots=True)
class Axis:
    """One fact and its places in order."""

    fact: str
    places: tuple[Place, ...]


class Grid:
    """Axes for all facts that matter in any of the books.

    Raises
    ------
    NoRuleError
        ``compare-postmenstrual-age``: a book compares postmenstrual age, which ties
        two axes together; such sets cannot be cut into a grid.
    """

    def __init__(self, books: Sequence[RuleBook], epoch: Epoch) -> None:
        self.epoch = epoch
        self._comparisons = _comparisons(books)
        if "postmenstrual_age" in self._comparisons:
            raise NoRuleError(
                Fault(
                    "compare-postmenstrual-age",
                    "A set compares postmenstrual age, which ties age and gestation "
                    "together.",
                    books[0].policy.id,
                    "compare the sets without that rule",
                )
            )
        spans = {
            c.limit
            for c in self._comparisons.get("age", ())
            if isinstance(c.limit, CalendarSpan)
        }
        self.child = SymbolicChild(spans, "_grid")
        self.axes = tuple(self._axes())

    def _axes(self) -> Iterable[Axis]:
        known, child = self._comparisons, self.child
        if "age" in known:
            yield self._ages()
        terms = {
            "gestation_at_birth": child.gestation,
            "mass": child.mass,
            "lumens": child.lumens,
        }
        yield from (_numbers(f, t, known[f]) for f, t in terms.items() if f in known)
        yield from (
            _choices(f, true, known[f])
            for f, true in child.choice.items()
            if f in known
        )
        for fact, members in child.members.items():
            named = {w for c in known.get(fact, ()) for w in _words(c)}
            yield from (_member(fact, w, members[w]) for w in SETS[fact] if w in named)

    def _ages(self) -> Axis:
        """Return the pieces of life between the age limits, each proved possible."""
        limits = sorted({c.limit for c in self._comparisons["age"]}, key=_nominal)
        reached = {limit: self._reached(limit) for limit in limits}
        solver = z3.Solver()
        solver.add(*self.child.assumptions, self.child.is_wholly_known())
        places = []
        while solver.check() == z3.sat:
            model = solver.model()
            cell = z3.And(
                [
                    r if z3.is_true(model.eval(r, model_completion=True)) else z3.Not(r)
                    for r in reached.values()
                ]
            )
            places.append(self._age_place(cell, model, reached))
            solver.add(z3.Not(cell))
        places.sort(key=lambda place: place.stands[1] - place.stands[0])
        return Axis("age", tuple(places))

    def _reached(self, limit: Any) -> z3.BoolRef:
        if isinstance(limit, CalendarSpan):
            return self.child.calendar[limit][2]
        return self.child.age >= minutes(limit)

    def _age_place(
        self,
        cell: z3.BoolRef,
        model: z3.ModelRef,
        reached: dict[Any, z3.BoolRef],
    ) -> Place:
        met = [
            limit
            for limit, r in reached.items()
            if z3.is_true(model.eval(r, model_completion=True))
        ]
        unmet = [limit for limit in reached if limit not in met]
        return Place(
            start=_limit_words("age", met[-1]) if met else None,
            end=_limit_words("age", unmet[0]) if unmet else None,
            formula=cell,
            stands=_born_and_at(met, unmet, self.epoch),
        )


def _born_and_at(
    met: list[Any], unmet: list[Any], epoch: Epoch
) -> tuple[datetime, datetime]:
    """Return a birth and an instant of an age: at its start where it has one.

    Raises
    ------
    NoRuleError
        ``compare-no-birth-day``: limits lie so close that none of the birth days
        tried falls between them.
    """
    for born in epoch.births():
        starts = [limit.after(born, UTC) for limit in met]
        ends = [limit.after(born, UTC) for limit in unmet]
        first = max([*starts, born, epoch.start])
        last = min([*ends, *([epoch.end] if epoch.end else [])], default=None)
        if last is None:
            return born, first
        if first < last:
            minute = timedelta(seconds=SECONDS_PER_MINUTE)
            return born, first if starts else last - minute
    raise NoRuleError(
        Fault(
            "compare-no-birth-day",
            "Two age limits lie so close that no example child stands between them.",
            f"{met[-1]} and {unmet[0]}",
            "write both limits in the same unit",
        )
    )


def _comparisons(books: Sequence[RuleBook]) -> dict[str, list[LiveComparison]]:
    found: dict[str, list[LiveComparison]] = {}
    for book in books:
        deciding: tuple[LiveRule[Rule], ...] = (
            *book.exclusions,
            *book.referrals,
            *book.site_rules,
            *book.intervals_of("dressing"),
        )
        for live in deciding:
            for row in live.when.rows:
                for c in row:
                    if c.fact not in ("agent", "dressing", "set_kind"):
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
    unit = {"gestation_at_birth": "weeks+days", "mass": "g"}.get(fact, "count")
    return value_in_words(limit, unit)


def _numbers(fact: str, term: Any, comparisons: list[LiveComparison]) -> Axis:
    """Return the pieces between limits; a limit itself is a piece if a test needs it."""
    cuts = sorted(
        {(float(c.limit), c.test in ("above", "at_most")) for c in comparisons}  # type: ignore[arg-type]  # a number
    )
    places = []
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
        value = low[0] + low[1] if low is not None else high[0] - 1  # type: ignore[index]  # one of both
        if low is None and high is not None and high[1]:
            value = high[0]
        places.append(
            Place(
                start=_limit_words(fact, low[0]) if low else None,
                end=_limit_words(fact, high[0]) if high else None,
                formula=z3.And(inside),
                stands=value,
            )
        )
    return Axis(fact, tuple(places))


def _exact(value: float) -> z3.RatNumRef:
    return z3.RealVal(str(value))


def _choices(fact: str, true: z3.ArithRef, comparisons: list[LiveComparison]) -> Axis:
    """Return the words of a closed list, those that no rule tells apart together."""
    allowed = list(CHOICE_LABELS[fact])
    groups: dict[tuple[bool, ...], list[str]] = {}
    for word in allowed:
        groups.setdefault(tuple(word in _words(c) for c in comparisons), []).append(
            word
        )
    places = tuple(
        Place(
            start=_named(fact, group, allowed),
            end=None,
            formula=z3.Or([true == allowed.index(word) for word in group]),
            stands=next((w for w in group if w in PLAIN), group[0]),
        )
        for group in groups.values()
    )
    return Axis(fact, places)


def _named(fact: str, group: Sequence[str], allowed: Sequence[str]) -> str:
    """Return a group of words as labels; by what it is not, where that is shorter."""
    labels = CHOICE_LABELS[fact]
    rest = [word for word in allowed if word not in group]
    if rest and len(rest) < len(group):
        return "not " + " nor ".join(labels[word].lower() for word in rest)
    return " or ".join(labels[word].lower() for word in group)


def _member(fact: str, word: str, has: z3.BoolRef) -> Axis:
    return Axis(
        f"{fact}:{word}",
        (
            Place(None, None, z3.Not(has), stands=False),
            Place(word, None, has, stands=True),
        ),
    )


def _any_age(epoch: Epoch) -> tuple[datetime, datetime]:
    """Return a birth and an instant for sets that no age matters to."""
    return epoch.start - timedelta(days=TEN_YEARS), epoch.start


def case_at(
    axes: Sequence[Axis], point: Sequence[int], epoch: Epoch
) -> tuple[dict[str, Any], str]:
    """Return the example child of a point, as a case and the instant to ask about."""
    chosen = {
        axis.fact: axis.places[place].stands
        for axis, place in zip(axes, point, strict=True)
    }
    born, at = chosen.get("age") or _any_age(epoch)
    who: dict[str, Any] = {
        "born": born.isoformat(),
        "gestation_at_birth": weeks_and_days(
            int(chosen.get("gestation_at_birth", TERM))
        ),
        "weights": [{"at": at.isoformat(), "g": chosen.get("mass", GROWN)}],
        "skin_at_site": chosen.get("skin_at_site", "intact"),
        "unit": chosen.get("unit", "ward"),
    }
    lists: dict[str, list[str]] = {fact: [] for fact in SETS}
    for name, has in chosen.items():
        fact, _, word = name.partition(":")
        if word and has:
            lists[fact].append(word)
    who["sensitivities"] = lists["sensitivities"]
    line = {
        "kind": chosen.get("line_kind", "tunnelled"),
        "site": chosen.get("site", "chest"),
        "lumens": int(chosen.get("lumens", 1)),
        "dressing": {"findings": lists["findings"]},
    }
    return {"child": who, "line": line}, at.isoformat()
