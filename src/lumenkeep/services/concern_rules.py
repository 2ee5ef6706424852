"""By which rules each entry is judged: those in force when it was written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.errors import NoRuleError
from lumenkeep.policy import Situation

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from lumenkeep.model.chart import LineState
    from lumenkeep.model.entry import Entry
    from lumenkeep.policy import Policy, RuleBook
    from lumenkeep.services.ports import Policies, WardRecord


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

        An entry of a time without rules about concerns is judged by those of now: a
        finding must not go unseen because the rules came later.
        """
        policy = self._policy_of(entry)
        day = entry.happened_at.astimezone(self._ward.zone).date()
        try:
            return policy.on(day)
        except NoRuleError:
            written = entry.written_at.astimezone(self._ward.zone).date()
            return self.now.on(max(written, *self.now.starts))

    def _policy_of(self, entry: Entry) -> Policy:
        if entry.policy not in self._then:
            ward = self._ward
            then = self._policies.in_force_at(
                ward.policy_set, entry.written_at, ward.key
            )
            is_usable = then is not None and then.concerns
            self._then[entry.policy] = then if then and is_usable else self.now
        return self._then[entry.policy]


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
