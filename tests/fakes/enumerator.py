"""A second evaluator of a policy, slow and plain: it tries every way things may be.

It reads the rules as data and knows nothing of how the planner or the solver decide.
What is unknown is filled in with every value that could make a difference; a rule
surely holds where it holds each time, and is open where it holds only sometimes.
"""

from __future__ import annotations

import calendar
import itertools
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo
from functools import cached_property
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.model.words import (
    FINDINGS,
    LINE_KINDS,
    PATENCY,
    SENSITIVITIES,
    SITES,
    SKIN,
    UNITS,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.conditions import Comparison, When
    from lumenkeep.core.policy.rules import Exclusion

SURELY, OPEN, NEVER = "surely", "open", "never"
MINUTE = timedelta(minutes=1)
A_FEW_DAYS = timedelta(days=3)
DAYS_A_MONTH = 30.44
WORDS = {
    "skin_at_site": tuple(SKIN),
    "site": tuple(SITES),
    "line_kind": tuple(LINE_KINDS),
    "unit": tuple(UNITS),
    "lumens": (1, 2, 3, 4, 5, 6),
    "needle_in": ("yes", "no"),
    "in_use": ("yes", "no"),
    "tunnelled": ("yes", "no"),
    "patency": tuple(PATENCY),
}
SETS = {"sensitivities": tuple(SENSITIVITIES), "findings": tuple(FINDINGS)}
WRITTEN = {
    "age": "born",
    "gestation_at_birth": "gestation",
    "mass": "mass",
}


@dataclass(frozen=True, slots=True)
class Facts:
    """What is known of a child and a line; None where it is not known.

    ``born`` is the earliest and latest instant of birth, ``gestation`` the least and
    greatest days; they are equal where the fact is exact.
    """

    at: datetime
    zone: tzinfo
    born: tuple[datetime, datetime] | None = None
    gestation: tuple[int, int] | None = None
    mass: float | None = None
    sensitivities: frozenset[str] | None = None
    findings: frozenset[str] | None = None
    skin_at_site: str | None = None
    site: str | None = None
    line_kind: str | None = None
    unit: str | None = None
    lumens: int | None = None
    needle_in: str | None = None
    in_use: str | None = None
    tunnelled: str | None = None
    patency: str | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer: words as in a plan; hours and seconds, None where none is named."""

    verdict: str
    agent: str | None
    until_known: str | None
    dressing: str | None
    stays_h: float | None
    scrub_s: int | None
    dry_s: int | None


def reached_at(born: datetime, span: Elapsed | CalendarSpan, zone: tzinfo) -> datetime:
    """Return the instant at which a child born then is as old as ``span``."""
    if isinstance(span, Elapsed):
        return born + timedelta(seconds=span.seconds)
    wall = born.astimezone(zone).replace(tzinfo=None, fold=0)
    months = wall.year * 12 + (wall.month - 1) + span.months
    year, month = months // 12, months % 12 + 1
    day = min(wall.day, calendar.monthrange(year, month)[1])
    wall = wall.replace(year=year, month=month, day=day) + timedelta(days=span.days)
    return wall.replace(tzinfo=zone).astimezone(UTC)


class Enumerator:
    """Answers for one policy on one day.

    Parameters
    ----------
    policy
        The set.
    day
        Day whose numbers count.
    """

    def __init__(self, policy: Policy, day: date) -> None:
        self.policy = policy
        self.day = day

    def number(self, id_: str | None) -> Any:
        """Return the value of a number that counts on the day; None without an id."""
        if id_ is None:
            return None
        started = [v for v in self.policy.numbers[id_].values if v.start <= self.day]
        return max(started, key=lambda v: v.start).value

    # ------------------------------------------------ one rule, one way things are

    def is_so(self, c: Comparison, world: Mapping[str, Any]) -> bool:
        """Return whether a comparison is true where everything is known."""
        fact, words = c.fact, set(c.words)
        if c.words:
            value = world[fact]
            if c.test in ("is", "is_not"):
                return (value in words) == (c.test == "is")
            if c.test == "includes_all":
                return words <= value
            return bool(words & value) == (c.test == "includes")
        limit = self.number(c.number)
        if fact == "age":
            old = world["at"] >= reached_at(world["born"], limit, world["zone"])
            return old if c.test == "at_least" else not old
        if fact == "postmenstrual_age":
            value = world["gestation"] + (world["at"] - world["born"]) / timedelta(1)
        else:
            value = world[WRITTEN.get(fact, fact)]
        return {
            "below": value < limit,
            "at_most": value <= limit,
            "above": value > limit,
            "at_least": value >= limit,
        }[c.test]

    def holds(self, when: When, world: Mapping[str, Any]) -> bool:
        """Return whether one row is true throughout; a rule without rows always is."""
        return not when or any(all(self.is_so(c, world) for c in row) for row in when)

    # ------------------------------------------------ every way things may be

    def limits(self, fact: str) -> list[Any]:
        """Return every limit that some rule compares a fact with."""
        ids = {
            c.number
            for rule in self.policy.every_rule()
            for row in rule.when
            for c in row
            if c.fact == fact and c.number is not None
        }
        return [self.number(id_) for id_ in sorted(ids)]

    @cached_property
    def masses(self) -> list[float]:
        """Masses on and next to every limit, and both far ends."""
        near = {m + off for m in self.limits("mass") for off in (-1, 0, 1)}
        return sorted({0, 10**9} | near)

    @cached_property
    def gestations(self) -> list[int]:
        """Gestations on and next to every limit, and both far ends."""
        limits = self.limits("gestation_at_birth") + self.limits("postmenstrual_age")
        return sorted({0, 10**6} | {g + off for g in limits for off in (-1, 0, 1)})

    @cached_property
    def ages(self) -> list[timedelta]:
        """Ages just before and after every limit, whatever the calendar."""
        found = {timedelta(0)}
        for limit in self.limits("age"):
            if isinstance(limit, Elapsed):
                age, near = timedelta(seconds=limit.seconds), MINUTE
            else:
                age = timedelta(days=limit.months * DAYS_A_MONTH + limit.days)
                near = A_FEW_DAYS
            found |= {max(age - near, timedelta(0)), age + near}
        return sorted(found)

    def ways(self, key: str, facts: Facts) -> Sequence[Any]:
        """Return every value of a fact that may be true, as far as it matters."""
        known = getattr(facts, key)
        if key == "born":
            return known or [facts.at - age for age in self.ages]
        if key == "gestation":
            return known or self.gestations
        if known is not None:
            return [known]
        if key == "mass":
            least = self.least_mass(facts)
            return [least, *(m for m in self.masses if m > least)]
        if key in SETS:
            words = SETS[key]
            sizes = range(len(words) + 1)
            return [
                frozenset(some)
                for size in sizes
                for some in itertools.combinations(words, size)
            ]
        return WORDS[key]

    def least_mass(self, facts: Facts) -> float:
        """Return what a child of these facts weighs at the least."""
        return max(
            [0]
            + [
                self.number(rule.at_least)
                for rule in self.policy.plausible
                if self.truth(rule.when, facts) == SURELY
            ]
        )

    def worlds(
        self, when: When, facts: Facts, planned: Mapping[str, str]
    ) -> Iterator[dict[str, Any]]:
        """Yield every way the facts that a rule speaks of may be."""
        named = {c.fact for row in when for c in row} - set(planned)
        keys = sorted({WRITTEN.get(fact, fact) for fact in named})
        if "postmenstrual_age" in keys:
            keys = sorted({*keys, "born", "gestation"} - {"postmenstrual_age"})
        for values in itertools.product(*[self.ways(key, facts) for key in keys]):
            world = dict(zip(keys, values, strict=True))
            yield world | {"at": facts.at, "zone": facts.zone, **planned}

    def truth(
        self, when: When, facts: Facts, planned: Mapping[str, str] | None = None
    ) -> str:
        """Return whether a rule surely holds, never does, or is open."""
        found = {self.holds(when, w) for w in self.worlds(when, facts, planned or {})}
        return OPEN if len(found) > 1 else SURELY if found == {True} else NEVER

    # ------------------------------------------------ the answer

    def answer(self, facts: Facts) -> Answer:
        """Return the policy's answer for what is known."""
        policy = self.policy
        held: list[tuple[Exclusion, str]] = [
            (rule, self.truth(rule.when, facts)) for rule in policy.exclusions
        ]
        referred = {self.truth(rule.when, facts) for rule in policy.referrals}
        left, safe = self.choice(policy.antiseptics, held)
        if SURELY in referred or left is None:
            return Answer("stop", None, None, None, None, None, None)
        _, cover = self.choice(policy.dressings, held)
        stays = self.stay(cover, facts) if cover else None
        if OPEN in referred:
            return Answer("ask", None, None, cover, stays, None, None)
        if left != safe:
            return Answer("ask", None, safe, cover, stays, None, None)
        scrub, dry = self.times(left, facts)
        return Answer("plan", left, None, cover, stays, scrub, dry)

    def choice(
        self, order: Iterable[str], held: list[tuple[Exclusion, str]]
    ) -> tuple[str | None, str | None]:
        """Return the first item not surely barred, and the first that cannot be."""
        left = safe = None
        for item in order:
            against = [(rule, t) for rule, t in held if item in rule.bars]
            if any(t == SURELY for _, t in against):
                continue
            left = left or item
            if not any(t == OPEN and r.if_unknown == "ask" for r, t in against):
                safe = safe or item
        return left, safe

    def stay(self, dressing: str, facts: Facts) -> float | None:
        """Return how many hours a dressing may stay: the least of what may count."""
        planned = {"dressing": dressing}
        rules = [
            (rule, self.truth(rule.when, facts, planned))
            for rule in self.policy.intervals
            if rule.task == "dressing"
        ]
        surely = [rule.priority for rule, t in rules if t == SURELY]
        count = [
            rule
            for rule, t in rules
            if t != NEVER and rule.priority >= max(surely, default=0)
        ]
        spans = [self.number(rule.not_after) for rule in count if rule.not_after]
        return min((_hours(span) for span in spans), default=None)

    def times(self, agent_id: str, facts: Facts) -> tuple[int | None, int]:
        """Return seconds of scrub (None: not named) and of drying, at the least."""
        agent = self.policy.agents[agent_id]
        each = self.number(agent.seconds_per_swab)
        scrub = each.seconds * self.number(agent.swabs) if each else None
        dry = self.number(agent.dry).seconds
        for rule in self.policy.site_rules:
            if self.truth(rule.when, facts, {"agent": agent_id}) != NEVER:
                scrub = max(scrub or 0, self.number(rule.scrub).seconds)
                dry = max(dry, self.number(rule.dry).seconds)
        return scrub, dry


def _hours(span: Elapsed | CalendarSpan) -> float:
    if isinstance(span, Elapsed):
        return span.seconds / 3600
    return float((span.months * 30 + span.days) * 24)
