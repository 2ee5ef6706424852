"""The one reading of a line: its facts, its concerns, its length, and what holds it.

Whatever asks what holds for a line now (ward view, line page, plan, guide, round,
print, chart file) asks here, and so gets the same answer. Pure: entries in, values out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

from lumenkeep.core.entries import LineState, line_state
from lumenkeep.core.model.chart import so_far
from lumenkeep.core.model.facts import Unknown
from lumenkeep.core.model.place import Place, place
from lumenkeep.core.model.signs import REPORTED
from lumenkeep.core.policy import Situation, keep
from lumenkeep.core.watch.concerns import Concern, pressing_first
from lumenkeep.core.watch.concerns_found import found_concerns, length_verdict
from lumenkeep.core.watch.concerns_life import acts_by_key, concern_at
from lumenkeep.core.watch.length import LengthRules, LengthVerdict, Measured
from lumenkeep.core.watch.site import signs_words
from lumenkeep.errors import NoRuleError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import tzinfo

    from lumenkeep.core.model import Case
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import Policy, RuleBook

_LOOKED_UP = "numbers about watching are in force"


class RulesOfSet:
    """The rules of one policy set for every entry, whenever it was written.

    Parameters
    ----------
    policy
        The set.
    zone
        By whose wall clock an entry has its day.
    """

    def __init__(self, policy: Policy, zone: tzinfo) -> None:
        self.now = policy
        self._zone = zone

    def book_of(self, entry: Entry) -> RuleBook:
        """Return the set's rules for the day on which an entry was so."""
        return book_for(self.now, self.now, entry, self._zone)


def book_for(policy: Policy, latest: Policy, entry: Entry, zone: tzinfo) -> RuleBook:
    """Return a policy's rules for the day on which an entry was so.

    Parameters
    ----------
    policy
        The version in force when the entry was written.
    latest
        What judges an entry of a time without these rules, or without one of their
        numbers.
    entry
        The entry that is judged.
    zone
        By whose wall clock an entry has its day.
    """
    try:
        book = policy.on(entry.happened_at.astimezone(zone).date())
        _all_in_force(book)
    except NoRuleError:
        written = entry.written_at.astimezone(zone).date()
        return latest.on(max(written, *latest.starts))
    return book


def _all_in_force(book: RuleBook) -> None:
    """Look every number about watching up, once for a rule book.

    Raises
    ------
    NoRuleError
        One of them starts later than the book's day.
    """
    if _LOOKED_UP in book.kept:
        return
    numbers: list[str | None] = []
    for limit in book.policy.length_limits:
        numbers += [limit.at_least, limit.above]
    for one in book.policy.measuring:
        numbers += [one.error, one.other_arm, one.usual_move, one.moves]
        numbers += [one.false_alarm, one.over, one.asks, one.pair_within]
    for rule in book.policy.concerns:
        numbers += [rule.act_within, rule.settle_within]
        numbers += [rule.grade_at_least, rule.rise_at_least]
    for number in numbers:
        if number is not None:
            book.value(number)
    keep(book.kept, _LOOKED_UP, value=True)


def situation_of(state: LineState, at: datetime) -> Callable[[datetime], Situation]:
    """Return a line's facts at any instant: as charted now, with the age of then.

    Parameters
    ----------
    state
        The line as its entries leave it.
    at
        An instant from which to move (UTC).
    """
    here = Situation(state.case, at)
    return here.later


class EntryRules(Protocol):
    """By which rules each entry is judged."""

    def book_of(self, entry: Entry) -> RuleBook:
        """Return the rules in force when an entry was written, for the day it was so."""


@dataclass(frozen=True, slots=True)
class Hold:
    """Why a line must not be used: the concern, what was seen, and until when."""

    concern: str
    label: str
    says: str
    until: str
    since: datetime

    @property
    def sentence(self) -> str:
        """The reason as a colleague would say it."""
        return f"Do not use the line until {self.until}. {self.label}: {self.says}"


@dataclass(frozen=True, slots=True)
class LineReading:
    """A line as its entries leave it at one instant.

    Attributes
    ----------
    at
        The instant (UTC).
    state
        Facts, changes, lengths, signs.
    place
        Where the child lies.
    concerns
        Open ones, the most pressing first.
    all_concerns
        Closed ones too.
    verdict, length_rules, compared
        What the lengths say, by what rules, and which of them are compared.
    """

    at: datetime
    state: LineState
    place: Place
    concerns: tuple[Concern, ...]
    all_concerns: tuple[Concern, ...]
    verdict: LengthVerdict
    length_rules: LengthRules
    compared: tuple[Measured, ...]

    @property
    def holds(self) -> tuple[Hold, ...]:
        """Why the line must not be used; empty where it may be."""
        return holds_of(self.concerns)

    @property
    def is_held(self) -> bool:
        """Whether the line must not be used."""
        return any(concern.is_held for concern in self.concerns)


def holds_of(concerns: Sequence[Concern]) -> tuple[Hold, ...]:
    """Return why a line must not be used, by its concerns; empty where it may be."""
    return tuple(
        Hold(one.key, one.label, one.says, one.hold, one.since)
        for one in concerns
        if one.is_held
    )


def read_line(
    entries: Sequence[Entry],
    at: datetime,
    rules: EntryRules,
    zone: tzinfo,
    *,
    known_at: datetime | None = None,
) -> LineReading:
    """Return what holds for a line at ``at``.

    Parameters
    ----------
    entries
        Of one line and its child, corrected ones included; with an insertion.
    at
        Instant asked about (UTC); what happened later is left out.
    rules
        By which each entry is judged.
    zone
        The ward's zone.
    known_at
        Also leave out what was written later (UTC).
    """
    known = so_far(entries, at, known_at)
    state = line_state(known, at, zone)
    situation_at = situation_of(state, at)
    acts = acts_by_key(known)
    found = [
        concern_at(one, acts.get(one.key, ()), at)
        for one in found_concerns(known, rules.book_of, situation_at, zone)
        if one.since <= at
    ]
    concerns = tuple(sorted(found, key=pressing_first))
    verdict, length_rules, compared = length_verdict(known, rules.book_of, situation_at)
    return LineReading(
        at,
        state,
        place(known, at),
        tuple(one for one in concerns if one.is_open),
        concerns,
        verdict,
        length_rules,
        compared,
    )


def holds_of_case(case: Case, at: datetime, policy: Policy) -> tuple[Hold, ...]:
    """Return what the facts of a case hold its line for at an instant (UTC).

    A case tells signs of the site and no lengths, looks or acts: what only the chart
    shows is not among them.
    """
    findings = case.line.dressing.findings
    if isinstance(findings, Unknown):
        return ()
    since = {one.kind: one.at or at for one in findings if one.kind in REPORTED}
    situation = Situation(case, at)
    found = []
    for live in policy.on(at.astimezone(case.zone).date()).concerns:
        rule = live.rule
        shown = since.keys() & set(rule.signs)
        # A rule of which it is not known whether it holds is on the safe side.
        if rule.hold and shown and live.when.truth(situation) is not False:
            words = signs_words(shown)
            says = f"{words[:1].upper()}{words[1:]}."
            first = min(since[one] for one in shown)
            found.append(Hold(rule.id, rule.label, says, rule.hold, first))
    return tuple(found)


def carried(holds: Iterable[Hold]) -> list[dict[str, str]]:
    """Return holds as they are carried to the bedside."""
    return [{"says": one.says, "until": one.until} for one in holds]
