"""Conditions as tables: rows of comparisons over facts, and their three-valued truth.

A rule holds when one of its rows holds; a row holds when all its comparisons do; a
rule with no rows always holds. Written, a comparison names a fact, a test and a
number by id (or words). Once the numbers of a day are looked up it is *live*: a
function of a `Situation`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from lumenkeep.core.model.times import CalendarSpan, Elapsed
from lumenkeep.core.policy.numbers import Value
from lumenkeep.core.policy.situation import Situation
from lumenkeep.core.policy.truth import Truth

Decide = Callable[[Situation], Truth]


@dataclass(frozen=True, slots=True)
class Comparison:
    """One comparison as written: fact, test, and a number's id or words."""

    fact: str
    test: str
    number: str | None = None
    words: tuple[str, ...] = ()


Row = tuple[Comparison, ...]
When = tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class LiveComparison:
    """A comparison with its limit looked up."""

    fact: str
    test: str
    limit: Value | frozenset[str]
    number: str | None
    truth: Decide


@dataclass(frozen=True, slots=True)
class LiveWhen:
    """The rows of a rule, ready to be asked about a situation."""

    rows: tuple[tuple[LiveComparison, ...], ...]

    def truth(self, situation: Situation) -> Truth:
        """Return whether one row holds: yes, no, or undecided (None)."""
        if not self.rows:
            return True
        whole: Truth = False
        for row in self.rows:
            held: Truth = True
            for comparison in row:
                part = comparison.truth(situation)
                if part is False:
                    held = False
                    break
                if part is None:
                    held = None
            if held is True:
                return True
            if held is None:
                whole = None
        return whole

    def undecided(self, situation: Situation) -> list[LiveComparison]:
        """Return the comparisons whose facts would settle the rule."""
        found = []
        for row in self.rows:
            parts = [(c, c.truth(situation)) for c in row]
            if not any(part is False for _, part in parts):
                found += [c for c, part in parts if part is None]
        return found

    def holding_row(self, situation: Situation) -> tuple[LiveComparison, ...] | None:
        """Return the first row that surely holds, None if none does."""
        for row in self.rows:
            if all(c.truth(situation) is True for c in row):
                return row
        return None


def live(comparison: Comparison, limit: Value | None) -> LiveComparison:
    """Return the comparison with its number looked up.

    Parameters
    ----------
    comparison
        As written.
    limit
        Value of its number on the day; None for a comparison with words.
    """
    fact, test = comparison.fact, comparison.test
    operand: Value | frozenset[str]
    if limit is None:
        operand = frozenset(comparison.words)
        decide = _with_words(fact, test, operand)
    elif isinstance(limit, Elapsed | CalendarSpan):
        operand = limit
        decide = _age(test, limit)
    else:
        operand = limit
        decide = _SPANS[fact](test, limit)
    return LiveComparison(fact, test, operand, comparison.number, decide)


def _with_words(fact: str, test: str, words: frozenset[str]) -> Decide:
    if test not in ("is", "is_not"):
        return (
            _all_members(fact, words)
            if test == "includes_all"
            else _some_member(fact, words, wanted=test == "includes")
        )
    wanted = test == "is"

    def choice(situation: Situation) -> Truth:
        value = getattr(situation, fact)
        return None if value is None else (value in words) is wanted

    return choice


def _all_members(fact: str, words: frozenset[str]) -> Decide:
    may_be_in_doubt = fact == "sensitivities"

    def every(situation: Situation) -> Truth:
        known = getattr(situation, fact)
        if known is None or words <= known:
            return None if known is None else True
        is_open = may_be_in_doubt and words <= known | situation.in_doubt
        return None if is_open else False

    return every


def _some_member(fact: str, words: frozenset[str], *, wanted: bool) -> Decide:
    may_be_in_doubt = fact == "sensitivities"

    def some(situation: Situation) -> Truth:
        known = getattr(situation, fact)
        if known is None or not words.isdisjoint(known):
            return None if known is None else wanted
        if may_be_in_doubt and not words.isdisjoint(situation.in_doubt):
            return None
        return not wanted

    return some


def _age(test: str, span: Elapsed | CalendarSpan) -> Decide:
    below = test == "below"

    def against(situation: Situation) -> Truth:
        reached = situation.age_against(span)
        if reached is None:
            return None
        surely, possibly = reached
        if surely:
            return not below
        return None if possibly else below

    return against


def _span_test(test: str, limit: Any, ends: Callable[[Situation], Any]) -> Decide:
    wanted = test in ("below", "at_most")

    def strict(situation: Situation) -> Truth:  # below, at_least
        low, high = ends(situation)
        if high < limit:
            return wanted
        return not wanted if low >= limit else None

    def loose(situation: Situation) -> Truth:  # at_most, above
        low, high = ends(situation)
        if high <= limit:
            return wanted
        return not wanted if low > limit else None

    return strict if test in ("below", "at_least") else loose


def _gestation(test: str, limit: Any) -> Decide:
    return _span_test(test, limit, lambda s: (s.gestation_low, s.gestation_high))


def _mass(test: str, limit: Any) -> Decide:
    return _span_test(test, limit, lambda s: (s.mass_low, s.mass_high))


def _postmenstrual(test: str, limit: Any) -> Decide:
    return _span_test(test, limit, Situation.postmenstrual_span)


def _lumens(test: str, limit: Any) -> Decide:
    def ends(situation: Situation) -> tuple[float, float]:
        count = situation.lumens
        return (1, float("inf")) if count is None else (count, count)

    return _span_test(test, limit, ends)


_SPANS = {
    "gestation_at_birth": _gestation,
    "mass": _mass,
    "postmenstrual_age": _postmenstrual,
    "lumens": _lumens,
}
