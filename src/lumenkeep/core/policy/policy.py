"""A whole policy set, and the rule book it gives for one day."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property, lru_cache
from typing import Any, Generic, TypeVar, cast

from lumenkeep.core.policy.bounds import Bound
from lumenkeep.core.policy.cell import Cells
from lumenkeep.core.policy.child_rules import CallRule, FilmSize, Weighing
from lumenkeep.core.policy.conditions import LiveWhen, When, live
from lumenkeep.core.policy.core import Core
from lumenkeep.core.policy.loosened import Loosened
from lumenkeep.core.policy.numbers import DatedValue, Number, Value, value_in_words
from lumenkeep.core.policy.read_basics import Reference
from lumenkeep.core.policy.round_rules import RoundItem, RoundPlan
from lumenkeep.core.policy.rule_texts import filled
from lumenkeep.core.policy.rules import (
    Agent,
    AtOnce,
    ChartField,
    Disagreement,
    Exclusion,
    Floor,
    Interval,
    KitItem,
    Note,
    Plausible,
    Referral,
    Requirement,
    Rule,
    SiteRule,
    Source,
    Staffing,
    Supply,
)
from lumenkeep.core.policy.sane import Sane
from lumenkeep.core.policy.texts import SetTexts
from lumenkeep.core.policy.watch_rules import ConcernRule, LengthLimit, Measuring, Scale
from lumenkeep.errors import Fault, NoRuleError

FIELD_OF_KIND = {
    "exclude": "exclusions",
    "refer": "referrals",
    "site_rule": "site_rules",
    "interval": "intervals",
    "at_once": "at_once",
    "staffing": "staffing",
    "supply": "supplies",
    "kit": "kit",
    "note": "notes",
    "chart": "chart_fields",
    "plausible": "plausible",
    "floor": "floors",
    "sane": "sane",
    "require": "requirements",
    "call": "calls",
    "weighing": "weighings",
    "film": "films",
    "disagreement": "disagreements",
    "length_limit": "length_limits",
    "measuring": "measuring",
    "scale": "scales",
    "concern": "concerns",
    "round_item": "round_items",
    "round_plan": "round_plans",
}
"""Where the rules of each kind of table are kept."""
RULE_FIELDS = tuple(FIELD_OF_KIND.values())
R = TypeVar("R", bound=Rule)
BOOKS_KEPT = 64
MOST_KEPT = 4096
"""How many worked-out answers an engine keeps for one rule book."""
R_co = TypeVar("R_co", bound=Rule, covariant=True)


@dataclass(frozen=True, slots=True)
class LiveRule(Generic[R_co]):
    """A rule and its condition with the numbers of a day."""

    rule: R_co
    when: LiveWhen


@dataclass(frozen=True, eq=False)
class Policy:
    """A policy set as read: every rule and number, whatever the day.

    Two policies are the same only if they are one object; what a set says is told
    apart by ``digest``.

    Attributes
    ----------
    antiseptics, dressings
        Ids in the order in which they are tried.
    call
        Whom to call when there is no answer.
    digest
        SHA-256 over the files it was read from.
    folder, own_sources
        What messages call the set's own files, and the sources stated there.
    bounds
        What can be at all, by name: the world's, or restated openly by a set.
    loosened
        What it says openly that it loosens of the core, then what the sets do that it
        extends.
    removed
        Ids of rules below that it, or a set it extends, takes out.
    base
        The set that it extends; None where it extends nothing.
    core
        What every set is held to; None for one put together by hand.
    written
        Every rule as it was written, its sentences not yet filled, by id.
    procedures
        Files of the procedures of each set it extends, lowest first, and its own; as
        text, for the engine of asepsis to read.
    references
        Where its rules, inherited ones too, name the numbers they decide with.
    """

    id: str
    title: str
    version: str
    abstract: bool
    call: str
    antiseptics: tuple[str, ...]
    dressings: tuple[str, ...]
    digest: str
    folder: str = ""
    own_sources: frozenset[str] = frozenset()
    sources: Mapping[str, Source] = field(default_factory=dict)
    numbers: Mapping[str, Number] = field(default_factory=dict)
    agents: Mapping[str, Agent] = field(default_factory=dict)
    exclusions: tuple[Exclusion, ...] = ()
    referrals: tuple[Referral, ...] = ()
    site_rules: tuple[SiteRule, ...] = ()
    intervals: tuple[Interval, ...] = ()
    at_once: tuple[AtOnce, ...] = ()
    staffing: tuple[Staffing, ...] = ()
    supplies: tuple[Supply, ...] = ()
    kit: tuple[KitItem, ...] = ()
    notes: tuple[Note, ...] = ()
    chart_fields: tuple[ChartField, ...] = ()
    plausible: tuple[Plausible, ...] = ()
    floors: tuple[Floor, ...] = ()
    sane: tuple[Sane, ...] = ()
    requirements: tuple[Requirement, ...] = ()
    calls: tuple[CallRule, ...] = ()
    weighings: tuple[Weighing, ...] = ()
    films: tuple[FilmSize, ...] = ()
    disagreements: tuple[Disagreement, ...] = ()
    length_limits: tuple[LengthLimit, ...] = ()
    measuring: tuple[Measuring, ...] = ()
    scales: tuple[Scale, ...] = ()
    concerns: tuple[ConcernRule, ...] = ()
    round_items: tuple[RoundItem, ...] = ()
    round_plans: tuple[RoundPlan, ...] = ()
    bounds: Mapping[str, Bound] = field(default_factory=dict)
    loosened: tuple[Loosened, ...] = ()
    removed: frozenset[str] = frozenset()
    base: Policy | None = field(default=None, repr=False)
    core: Core | None = None
    written: Mapping[str, Rule] = field(default_factory=dict)
    procedures: tuple[SetTexts, ...] = ()
    references: tuple[Reference, ...] = field(default=(), repr=False)

    def on(self, day: date) -> RuleBook:
        """Return the rules with the numbers in force on ``day``."""
        position = bisect_right(self.starts, day)
        return _rule_book(self, self.starts[position - 1] if position else day)

    @cached_property
    def starts(self) -> tuple[date, ...]:
        """Every day on which some number changes; between two the book is one."""
        return tuple(sorted({v.start for n in self.numbers.values() for v in n.values}))

    @property
    def layers(self) -> tuple[Policy, ...]:
        """The sets that it extends, lowest first, and itself."""
        return (*(self.base.layers if self.base else ()), self)

    @property
    def restated(self) -> tuple[Bound, ...]:
        """Bounds of the world that this set, or one it extends, puts its own for."""
        return tuple(bound for bound in self.bounds.values() if bound.restates)

    def of_kind(self, kind: str) -> tuple[Rule, ...]:
        """Return the rules that stand in tables of a kind, as "interval"."""
        found: tuple[Rule, ...] = getattr(self, FIELD_OF_KIND[kind])
        return found

    def every_rule(self) -> tuple[Rule, ...]:
        """Return all rules of every kind."""
        return (
            *self.agents.values(),
            *(rule for name in RULE_FIELDS for rule in getattr(self, name)),
            *self.bounds.values(),
        )


class RuleBook:
    """A policy's rules with every number looked up for one day.

    ``kept`` holds what the engines have worked out for a cell (see `keep`).

    Raises
    ------
    NoRuleError
        ``policy-number-not-in-force``: a number that a rule needs starts later than
        the day asked about, so the policy has no answer for that day.
    """

    def __init__(self, policy: Policy, day: date) -> None:
        self.policy = policy = told_on(policy, day)
        self.day = day
        self._in_force: dict[str, DatedValue] = {}
        for number in policy.numbers.values():
            value = number.on(day)
            if value is not None:
                self._in_force[number.id] = value
        self.exclusions = self._live(policy.exclusions)
        self.referrals = self._live(policy.referrals)
        self.site_rules = self._live(policy.site_rules)
        self.intervals = self._live(policy.intervals)
        self.at_once = self._live(policy.at_once)
        self.staffing = self._live(policy.staffing)
        self.supplies = self._live(policy.supplies)
        self.kit = {item.item: item for item in policy.kit}
        self.notes = self._live(policy.notes)
        self.chart_fields = self._live(policy.chart_fields)
        self.plausible = self._live(policy.plausible)
        self.disagreements = self._live(policy.disagreements)
        self.requirements = self._live(policy.requirements)
        self.calls = self._live(policy.calls)
        self.weighings = self._live(policy.weighings)
        self.films = self._live(policy.films)
        self.length_limits = self._live(policy.length_limits)
        self.measuring = self._live(policy.measuring)
        self.scales = self._live(policy.scales)
        self.concerns = self._live(policy.concerns)
        self.round_items = self._live(policy.round_items)
        self.round_plans = self._live(policy.round_plans)
        self._bars: dict[str, tuple[LiveRule[Exclusion], ...]] = {
            item: tuple(e for e in self.exclusions if item in e.rule.bars)
            for item in {item for e in policy.exclusions for item in e.bars}
        }
        self._intervals: dict[str, tuple[LiveRule[Interval], ...]] = {
            task: tuple(i for i in self.intervals if i.rule.task == task)
            for task in {i.task for i in policy.intervals}
        }

        self.cells = Cells(self)
        self.kept: dict[Hashable, Any] = {}

    def _live(self, rules: tuple[R, ...]) -> tuple[LiveRule[R], ...]:
        return tuple(LiveRule(rule, self._when(rule.when)) for rule in rules)

    def _when(self, when: When) -> LiveWhen:
        return LiveWhen(
            tuple(
                tuple(live(c, self.value(c.number) if c.number else None) for c in row)
                for row in when
            )
        )

    def every_live_rule(self) -> tuple[LiveRule[Rule], ...]:
        """Return the rules of every kind that has conditions."""
        return (
            *self.exclusions,
            *self.referrals,
            *self.site_rules,
            *self.intervals,
            *self.at_once,
            *self.staffing,
            *self.supplies,
            *self.notes,
            *self.chart_fields,
            *self.plausible,
            *self.disagreements,
            *self.calls,
            *self.films,
        )

    def value(self, number_id: str) -> Value:
        """Return the value of a number on this day."""
        found = self._in_force.get(number_id)
        if found is None:
            number = self.policy.numbers[number_id]
            raise NoRuleError(
                Fault(
                    "policy-number-not-in-force",
                    f"'{number_id}' has no value on {self.day}; "
                    f"its first is from {number.values[0].start}.",
                    number.where,
                    "add the value that held then; or ask, with --day or --at, about a "
                    f"day from {number.values[0].start} on",
                )
            )
        return found.value

    def words(self, number_id: str) -> str:
        """Return the value of a number in words."""
        number = self.policy.numbers[number_id]
        return value_in_words(self.value(number_id), number.unit)

    def intervals_of(self, task: str) -> tuple[LiveRule[Interval], ...]:
        """Return the intervals that speak of ``task``."""
        return self._intervals.get(task, ())

    def bars(self, item: str) -> tuple[LiveRule[Exclusion], ...]:
        """Return the exclusions that can bar ``item``."""
        return self._bars.get(item, ())


def told_on(policy: Policy, day: date) -> Policy:
    """Return the set with its sentences filled from the numbers of a day.

    The same object where the day makes no difference.
    """
    changes: dict[str, Any] = {}
    for name in RULE_FIELDS:
        before = getattr(policy, name)
        after = tuple(_told_rule(policy, rule, day) for rule in before)
        if any(one is not other for one, other in zip(before, after, strict=True)):
            changes[name] = after
    agents = {id_: _told_rule(policy, one, day) for id_, one in policy.agents.items()}
    if any(agents[id_] is not one for id_, one in policy.agents.items()):
        changes["agents"] = agents
    return replace(policy, **changes) if changes else policy


def _told_rule(policy: Policy, rule: R, day: date) -> R:
    """Return a rule as it reads on a day; the same object where that is no different.

    A rule that was put in place of the written one stays as it is.
    """
    written = policy.written.get(rule.id, rule)
    if written is not rule:
        newest = max(policy.starts, default=date.min)
        if filled(written, policy.numbers, newest) != rule:
            return rule
    told = cast("R", filled(written, policy.numbers, day))
    return rule if told == rule else told


def told(policy: Policy) -> Policy:
    """Return the set with its sentences filled from the newest numbers.

    Whoever shows a sentence of a day asks the rule book of that day.
    """
    newest = max(policy.starts, default=date.min)
    return told_on(policy, newest)


def keep(kept: dict[Hashable, Any], key: Hashable, value: object) -> None:
    """Keep a worked-out value, starting afresh when very many have been kept."""
    if len(kept) >= MOST_KEPT:
        kept.clear()
    kept[key] = value


@lru_cache(maxsize=BOOKS_KEPT)
def _rule_book(policy: Policy, day: date) -> RuleBook:
    return RuleBook(policy, day)
