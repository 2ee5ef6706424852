"""By which rules of a set the entries of a line are judged."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.policy import Situation, keep
from lumenkeep.errors import NoRuleError

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime, tzinfo

    from lumenkeep.core.entries import LineState
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
