"""Which cell of the policy a child lies in.

A policy's limits cut all children into finitely many cells. Within one cell every
rule has the same truth, so everything in a plan but its figures and instants is the
same; the engines work it out once for a cell and keep it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from operator import attrgetter
from typing import TYPE_CHECKING

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.policy.vocabulary import FACTS, PLANNED_FACTS

if TYPE_CHECKING:
    from collections.abc import Hashable

    from lumenkeep.core.policy import RuleBook, Situation

SPAN_FACTS = ("gestation_at_birth", "mass", "postmenstrual_age")
WORD_FACTS = tuple(f for f in FACTS if f not in {"age", *SPAN_FACTS, *PLANNED_FACTS})
"""Every other fact: one left out would put unlike children into one cell."""


class Cells:
    """The limits of a rule book, by fact, ready to place a situation among them."""

    def __init__(self, book: RuleBook) -> None:
        limits: dict[str, set[float]] = {fact: set() for fact in SPAN_FACTS}
        ages: dict[Elapsed | CalendarSpan, None] = {}
        named = set()
        for live in book.every_live_rule():
            for row in live.when.rows:
                for c in row:
                    named.add(c.fact)
                    if isinstance(c.limit, Elapsed | CalendarSpan):
                        ages[c.limit] = None
                    elif isinstance(c.limit, int | float) and c.fact in limits:
                        limits[c.fact].add(c.limit)
        self.age_limits = tuple(sorted(ages, key=lambda s: s.bounds()))
        self._surely_short = sorted(s.bounds()[0] for s in ages)
        self._surely_long = sorted(s.bounds()[1] for s in ages)
        self._gestation = sorted(limits["gestation_at_birth"])
        self._mass = sorted(limits["mass"])
        self._postmenstrual = sorted(limits["postmenstrual_age"])
        words = [f for f in WORD_FACTS if f in named or f == "sensitivities"]
        self._words = attrgetter("born_earliest", "in_doubt", *words)

    def of(self, situation: Situation) -> Hashable:
        """Return the cell: equal for two situations only if every rule agrees on them."""
        s = situation
        gestation, mass = self._gestation, self._mass
        born, *words = self._words(s)
        return (
            self._ages(s),
            bisect_left(gestation, s.gestation_low),
            bisect_right(gestation, s.gestation_low),
            bisect_left(gestation, s.gestation_high),
            bisect_right(gestation, s.gestation_high),
            bisect_left(mass, s.mass_low),
            bisect_right(mass, s.mass_low),
            bisect_left(mass, s.mass_high),
            bisect_right(mass, s.mass_high),
            self._postmenstrual_place(s) if self._postmenstrual else None,
            born is None,
            *words,
        )

    def _ages(self, situation: Situation) -> Hashable:
        """Return which limits are surely, and possibly, reached.

        Only a limit that may be as long as the child is old is looked at closely: all
        shorter ones are passed whatever the calendar, and no longer one is reached.
        """
        low, high = situation.age_low, situation.age_high
        if low is None or high is None:
            return None
        passed = bisect_left(self._surely_long, low)
        begun = bisect_right(self._surely_short, high)
        if passed == begun:
            return passed
        against = situation.age_against
        return tuple([against(limit) for limit in self.age_limits])

    def _postmenstrual_place(self, situation: Situation) -> Hashable:
        limits = self._postmenstrual
        low, high = situation.postmenstrual_span()
        return (
            bisect_left(limits, low),
            bisect_right(limits, low),
            bisect_left(limits, high),
            bisect_right(limits, high),
        )


def turning_ages(book: RuleBook) -> tuple[Elapsed | CalendarSpan, ...]:
    """Return every age at which an exclusion, a referral or what is plausible turns."""
    found: dict[Elapsed | CalendarSpan, None] = {}
    for group in (book.exclusions, book.referrals, book.plausible, book.weighings):
        for live in group:
            for row in live.when.rows:
                for c in row:
                    if isinstance(c.limit, Elapsed | CalendarSpan):
                        found[c.limit] = None
    return tuple(found)
