"""By which rules each entry is judged: those in force when it was written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.errors import NoRuleError
from lumenkeep.policy import Situation, keep

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime, tzinfo

    from lumenkeep.entries import LineState
    from lumenkeep.model.entry import Entry
    from lumenkeep.policy import Policy, RuleBook
    from lumenkeep.services.ports import Policies, WardRecord


_LOOKED_UP = "numbers about watching are in force"


class RulesOfWard:
    """The rules of one ward through time, each version looked up once.

    Parameters
    ----------
    policies
        The policies as they are and were.
    ward
        Whose rules.

    Raises
    ------
    PolicyError
        The set in force now is faulty.
    """

    def __init__(self, policies: Policies, ward: WardRecord) -> None:
        self._policies = policies
        self._ward = ward
        self.now = policies.in_force(ward.policy_set, ward.key)
        self._then: dict[str, Policy] = {}

    def book_of(self, entry: Entry) -> RuleBook:
        """Return the rules in force when an entry was written, for the day it was so.

        An entry of a time without rules about concerns, or without one of their
        numbers, is judged by the latest there are: a finding must not go unseen
        because the rules came later.
        """
        return _book(self._policy_of(entry), self.now, entry, self._ward.zone)

    def _policy_of(self, entry: Entry) -> Policy:
        if entry.policy not in self._then:
            ward = self._ward
            then = self._policies.in_force_at(
                ward.policy_set, entry.written_at, ward.key
            )
            is_usable = then is not None and then.concerns
            self._then[entry.policy] = then if then and is_usable else self.now
        return self._then[entry.policy]


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
        return _book(self.now, self.now, entry, self._zone)


def _book(policy: Policy, latest: Policy, entry: Entry, zone: tzinfo) -> RuleBook:
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
