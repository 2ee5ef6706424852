"""By which rules each entry is judged: those in force when it was written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.reading.line_rules import book_for

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import Policy, RuleBook
    from lumenkeep.ward.chart.records import Policies
    from lumenkeep.ward.site.people import WardRecord


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
        return book_for(self._policy_of(entry), self.now, entry, self._ward.zone)

    def _policy_of(self, entry: Entry) -> Policy:
        if entry.policy not in self._then:
            ward = self._ward
            then = self._policies.in_force_at(
                ward.policy_set, entry.written_at, ward.key
            )
            is_usable = then is not None and then.concerns
            self._then[entry.policy] = then if then and is_usable else self.now
        return self._then[entry.policy]
