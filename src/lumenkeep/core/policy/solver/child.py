"""A child and a line as the solver sees them: what is known, and what is true.

Every fact has two sides. The *known* side is what the planner reads: unknown, or a
span, or a word. The *true* side is one way things may really be that fits what is
known. Numbers are exact reals and integers; nothing is sampled.

A span of calendar months has no fixed length in minutes. For each such limit the
solver has three truths, whether it is surely, possibly and really reached, bound to
the age by the shortest and the longest that the span can be.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, Any, TypeVar

import z3

from lumenkeep.core.model import CalendarSpan, Elapsed, words
from lumenkeep.core.model.closed_facts import CLOSED_FACTS
from lumenkeep.core.model.quantities import (
    DAYS_PER_WEEK,
    SECONDS_PER_DAY,
    SECONDS_PER_MINUTE,
)

if TYPE_CHECKING:
    from collections.abc import (
        Callable,
        Hashable,
        Iterable,
        Iterator,
        Mapping,
        Sequence,
    )

    from lumenkeep.core.policy.bounds import Bound
    from lumenkeep.core.policy.policy import RuleBook

    Bounds = Mapping[str, Bound]

MINUTES_PER_DAY = SECONDS_PER_DAY // SECONDS_PER_MINUTE
LONGEST_DAY = 25 * 60
"""A date of birth without a time leaves the age open by up to this (minutes)."""
OLDEST_YEARS = 25
OLDEST = OLDEST_YEARS * 366 * MINUTES_PER_DAY
BOUNDS_USED = ("mass-g", "gestation", "lumens")
"""Bounds of the world that a child of the model is held to."""
CHOICES = {fact.name: tuple(fact.answers) for fact in CLOSED_FACTS}
SETS = {
    "sensitivities": tuple(words.SENSITIVITIES),
    "findings": tuple(words.FINDINGS),
}
UNKNOWN = -1
T = TypeVar("T")


def minutes(span: Elapsed) -> z3.ArithRef:
    """Return an elapsed span in minutes, exactly."""
    return z3.Q(span.seconds, SECONDS_PER_MINUTE)


class SymbolicChild:
    """One child with one line, every fact open.

    Parameters
    ----------
    calendar
        Spans that get truths of their own.
    bounds
        What can be at all.
    tag
        Suffix of the solver's names, to tell two children apart.

    Attributes
    ----------
    assumptions
        What any child of the model satisfies, fact by fact.
    of_this_world
        Besides: its mass is one that its age can have.
    kept
        Formulas over it that were written before; writing takes longer than solving.
    """

    def __init__(
        self, calendar: Iterable[CalendarSpan], bounds: Bounds, tag: str = ""
    ) -> None:
        self.tag = tag
        self.bounds = bounds
        self.assumptions: list[z3.BoolRef] = []
        self.kept: dict[Hashable, Any] = {}
        self._age()
        self._gestation()
        self._mass()
        self.lumens_known = z3.Int(f"lumens_known{tag}")
        self.lumens = z3.Int(f"lumens{tag}")
        low, high = bounds["lumens"].counts
        self.assume(
            z3.Or(
                self.lumens_known == UNKNOWN,
                z3.And(self.lumens_known >= low, self.lumens_known <= high),
            ),
            self.lumens >= low,
            self.lumens <= high,
            z3.Or(self.lumens_known == UNKNOWN, self.lumens_known == self.lumens),
        )
        self.choice_known: dict[str, z3.ArithRef] = {}
        self.choice: dict[str, z3.ArithRef] = {}
        for fact, allowed in CHOICES.items():
            self._choice(fact, allowed)
        self.set_known: dict[str, z3.BoolRef] = {}
        self.members: dict[str, dict[str, z3.BoolRef]] = {}
        for fact, allowed in SETS.items():
            self.set_known[fact] = z3.Bool(f"{fact}_known{tag}")
            self.members[fact] = {w: z3.Bool(f"{fact}_{w}{tag}") for w in allowed}
        self.calendar: dict[CalendarSpan, tuple[z3.BoolRef, ...]] = {}
        for span in sorted(set(calendar), key=lambda s: s.nominal_hours()):
            self._calendar(span)
        self._in_order()

    def once(self, key: Hashable, write: Callable[[], T]) -> T:
        """Return formulas over the child, written the first time they are asked for."""
        if key not in self.kept:
            self.kept[key] = write()
        found: T = self.kept[key]
        return found

    def assume(self, *facts: z3.BoolRef) -> None:
        """Add what any child of the model satisfies."""
        self.assumptions += facts

    def _age(self) -> None:
        tag = self.tag
        self.age_known = z3.Bool(f"age_known{tag}")
        self.age_low, self.age_high, self.age = z3.Reals(
            f"age_low{tag} age_high{tag} age{tag}"
        )
        self.assume(
            self.age_low >= -LONGEST_DAY,
            self.age_high >= 0,
            self.age >= 0,
            self.age <= OLDEST,
            self.age_high <= OLDEST,
            self.age_low <= self.age_high,
            self.age_high - self.age_low <= LONGEST_DAY,
            z3.Implies(
                self.age_known,
                z3.And(self.age >= self.age_low, self.age <= self.age_high),
            ),
        )

    def _gestation(self) -> None:
        tag = self.tag
        self.gestation_known = z3.Bool(f"gestation_known{tag}")
        self.gestation_low, self.gestation_high, self.gestation = z3.Ints(
            f"gestation_low{tag} gestation_high{tag} gestation{tag}"
        )
        low, high = self.bounds["gestation"].counts
        width = self.gestation_high - self.gestation_low
        self.assume(
            self.gestation >= low,
            self.gestation <= high,
            self.gestation_low >= low,
            self.gestation_high <= high,
            z3.Or(
                width == 0,
                z3.And(
                    width == DAYS_PER_WEEK - 1, self.gestation_low % DAYS_PER_WEEK == 0
                ),
            ),
            z3.Implies(
                self.gestation_known,
                z3.And(
                    self.gestation >= self.gestation_low,
                    self.gestation <= self.gestation_high,
                ),
            ),
        )

    def _mass(self) -> None:
        self.mass_known = z3.Bool(f"mass_known{self.tag}")
        self.mass = z3.Real(f"mass{self.tag}")
        self.mass_least = z3.Real(f"mass_least{self.tag}")
        low, high = self.bounds["mass-g"].span
        self.assume(self.mass >= low, self.mass <= high)

    @property
    def of_this_world(self) -> z3.BoolRef:
        """That the true mass lies inside the bounds of the true age."""
        bands = self.bounds["mass-g"].bands
        ends = [band.days * MINUTES_PER_DAY for band in bands[1:]]
        parts = []
        for band, end in itertools.zip_longest(bands, ends):
            inside = [self.age >= band.days * MINUTES_PER_DAY]
            if end is not None:
                inside.append(self.age < end)
            held = z3.And(self.mass >= band.low, self.mass <= band.high)
            parts.append(z3.Implies(z3.And(inside), held))
        return z3.And(parts)

    def narrow(self, least: z3.ArithRef) -> None:
        """Bound an unknown mass from below by what the policy calls plausible."""
        self.assume(
            self.mass_least == least,
            z3.Implies(z3.Not(self.mass_known), self.mass >= self.mass_least),
        )

    def _choice(self, fact: str, allowed: tuple[str, ...]) -> None:
        known = z3.Int(f"{fact}_known{self.tag}")
        true = z3.Int(f"{fact}{self.tag}")
        self.choice_known[fact], self.choice[fact] = known, true
        self.assume(
            known >= UNKNOWN,
            known < len(allowed),
            true >= 0,
            true < len(allowed),
            z3.Or(known == UNKNOWN, known == true),
        )

    def _calendar(self, span: CalendarSpan) -> None:
        name = f"{span.months}m{span.days}d{self.tag}"
        surely, possibly, really = z3.Bools(
            f"surely_{name} possibly_{name} really_{name}"
        )
        self.calendar[span] = (surely, possibly, really)
        shortest, longest = (
            int(bound.total_seconds()) // SECONDS_PER_MINUTE for bound in span.bounds()
        )
        self.assume(z3.Implies(self.age_known, z3.Implies(surely, possibly)))
        self.assume(
            z3.Implies(
                self.age_known,
                z3.And(z3.Implies(surely, really), z3.Implies(really, possibly)),
            )
        )
        for reached, age in (
            (surely, self.age_low),
            (possibly, self.age_high),
            (really, self.age),
        ):
            self.assume(
                z3.Implies(reached, age >= shortest),
                z3.Implies(z3.Not(reached), age < longest),
            )
        self.assume(
            z3.Implies(
                z3.And(self.age_known, self.age_low == self.age_high),
                z3.And(surely == possibly, surely == really),
            )
        )

    def _in_order(self) -> None:
        """A longer span is reached no earlier than a shorter one."""
        for shorter, longer in neighbours(list(self.calendar)):
            for before, after in zip(
                self.calendar[shorter], self.calendar[longer], strict=True
            ):
                self.assume(z3.Implies(after, before))

    def is_wholly_known(self) -> z3.BoolRef:
        """Return that nothing is unknown, to the minute and the day."""
        return z3.And(
            self.age_known,
            self.age_low == self.age_high,
            self.gestation_known,
            self.gestation_low == self.gestation_high,
            self.mass_known,
            self.lumens_known != UNKNOWN,
            *(known != UNKNOWN for known in self.choice_known.values()),
            *self.set_known.values(),
        )


def calendar_limits(book: RuleBook) -> set[CalendarSpan]:
    """Return every calendar span that a rule compares an age with."""
    return {
        c.limit
        for live in (*book.every_live_rule(), *book.requirements, *book.weighings)
        for row in live.when.rows
        for c in row
        if isinstance(c.limit, CalendarSpan)
    }


__all__ = ["SymbolicChild", "calendar_limits", "minutes"]


def neighbours(
    spans: Sequence[CalendarSpan],
) -> Iterator[tuple[CalendarSpan, CalendarSpan]]:
    """Yield pairs of which the first is never later, without those that others imply.

    All pairs would say the same, and make every question to the solver slower.
    """
    later = {
        span: {o for o in spans if o != span and span.is_never_later(o)}
        for span in spans
    }
    for span, after in later.items():
        implied = set().union(*(later[one] for one in after))
        yield from ((span, one) for one in spans if one in after - implied)
