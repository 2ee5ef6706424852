"""What is known of one child and one line at one instant, in the form rules read.

A numeric fact is the span of values it may have: an unknown mass runs from nothing
to infinity, an age known only by the birth date spans a day. A rule then decides
where the whole span lies on one side of a limit, and otherwise stays undecided.
"""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo
from math import inf
from typing import TypeVar

from lumenkeep.core.model import (
    Case,
    Unknown,
    Weight,
    age_in_words,
    grams_in_words,
    mass_at,
    weeks_and_days,
)
from lumenkeep.core.model.closed_facts import CLOSED_FACTS
from lumenkeep.core.model.quantities import SECONDS_PER_DAY
from lumenkeep.core.model.times import CalendarSpan, Span

T = TypeVar("T")


class Situation:
    """The facts of one case at one instant.

    Attributes
    ----------
    at
        The instant (UTC).
    age_low, age_high
        Least and greatest age (elapsed); ``age_high`` is None when birth is unknown.
    gestation_low, gestation_high
        Least and greatest gestation at birth (days).
    mass_low, mass_high
        Least and greatest mass (grams).
    weighed
        The weighing that the mass comes from, if any.
    is_mass_old
        Whether that weighing counts no more: the mass is only bounded from below.
    in_doubt
        Substances that may not be tolerated, beside those that surely are not.
    Beside these, each of `CLOSED_FACTS` by its name: its answer, None where unknown.
    agent, dressing, set_kind
        What is being planned or looked at; filled in by the engines.
    """

    at: datetime
    zone: tzinfo

    def __init__(self, case: Case, at: datetime) -> None:
        child, line = case.child, case.line
        self.case = case
        self.zone = case.zone
        self._thresholds: dict[CalendarSpan, tuple[datetime, datetime]] = {}
        born = child.born
        self.born_earliest: datetime | None = None
        self.born_latest: datetime | None = None
        if not isinstance(born, Unknown):
            self.born_earliest, self.born_latest = born.earliest, born.latest
        gestation = child.gestation_at_birth
        self.gestation_low: float = 0
        self.gestation_high: float = inf
        if not isinstance(gestation, Unknown):
            self.gestation_low, self.gestation_high = gestation.days, gestation.until
        self.mass_low: float = 0
        self.mass_high: float = inf
        self.weighed: Weight | None = None
        self.is_mass_old = False
        weight = mass_at(child, at)
        if not isinstance(weight, Unknown):
            self.mass_low = self.mass_high = weight.grams
            self.weighed = weight
        self.sensitivities = _value(child.sensitivities)
        self.in_doubt = child.allergies.in_doubt
        self.lumens = _value(line.lumens)
        for fact in CLOSED_FACTS:
            setattr(self, fact.name, fact.answer(child, line))
        found = line.dressing.findings
        self.findings: frozenset[str] | None = None
        if not isinstance(found, Unknown):
            self.findings = frozenset(
                [f.kind for f in found if f.at is None or f.at <= at]
            )
        self.agent: str | None = None
        self.dressing: str | None = None
        self.set_kind: str | None = None
        self._move_to(at)

    def _move_to(self, at: datetime) -> None:
        self.at = at
        self.age_low: timedelta | None = None
        self.age_high: timedelta | None = None
        if self.born_earliest is not None and self.born_latest is not None:
            self.age_high = at - self.born_earliest
            self.age_low = at - self.born_latest

    def later(self, at: datetime) -> Situation:
        """Return the same facts at a later instant: only age moves."""
        moved = object.__new__(Situation)
        vars(moved).update(vars(self))
        moved._move_to(at)
        return moved

    def reaches(self, span: Span) -> tuple[datetime, datetime] | None:
        """Return when the child's age reaches ``span``: earliest and latest (UTC)."""
        if self.born_earliest is None or self.born_latest is None:
            return None
        if not isinstance(span, CalendarSpan):
            step = timedelta(seconds=span.seconds)
            return self.born_earliest + step, self.born_latest + step
        known = self._thresholds.get(span)
        if known is None:
            known = (
                span.after(self.born_earliest, self.zone),
                span.after(self.born_latest, self.zone),
            )
            self._thresholds[span] = known
        return known

    def age_against(self, span: Span) -> tuple[bool, bool] | None:
        """Return whether the age has surely, and has possibly, reached ``span``.

        None when birth is unknown.
        """
        high, low = self.age_high, self.age_low
        if high is None or low is None:
            return None
        if not isinstance(span, CalendarSpan):
            step = timedelta(seconds=span.seconds)
            return low >= step, high >= step
        shortest, longest = span.bounds()
        if low > longest:
            return True, True
        if high < shortest:
            return False, False
        reached = self.reaches(span)
        assert reached is not None  # noqa: S101  birth is known here
        return self.at >= reached[1], self.at >= reached[0]

    def postmenstrual_span(self) -> tuple[float, float]:
        """Return least and greatest postmenstrual age (days, with fractions)."""
        if self.age_low is None or self.age_high is None:
            return self.gestation_low, inf
        return (
            self.gestation_low + self.age_low.total_seconds() / SECONDS_PER_DAY,
            self.gestation_high + self.age_high.total_seconds() / SECONDS_PER_DAY,
        )

    def _mass_in_words(self) -> str | None:
        if self.weighed is None:
            return None
        grams = grams_in_words(self.weighed.grams)
        if not self.is_mass_old:
            return grams
        ago = age_in_words((self.at - self.weighed.at).total_seconds())
        return f"{grams}, weighed {ago} ago"

    def value_in_words(self, fact: str) -> str | None:
        """Return what is known of a fact, in words; None when it is unknown."""
        if fact == "age":
            if self.age_high is None or self.age_low is None:
                return None
            words = age_in_words(max(self.age_low, timedelta(0)).total_seconds())
            exact = self.age_high == self.age_low
            return words if exact else f"about {words}, time of birth not known"
        if fact == "gestation_at_birth":
            gestation = self.case.child.gestation_at_birth
            return None if isinstance(gestation, Unknown) else f"born at {gestation}"
        if fact == "mass":
            return self._mass_in_words()
        if fact == "postmenstrual_age":
            low, high = self.postmenstrual_span()
            return weeks_and_days(int(low)) if high < inf else None
        if fact in ("sensitivities", "findings"):
            known = getattr(self, fact)
            return None if known is None else ", ".join(sorted(known)) or "none"
        value = getattr(self, fact)
        return None if value is None else str(value)


def _value(fact: T | Unknown) -> T | None:
    return None if isinstance(fact, Unknown) else fact
