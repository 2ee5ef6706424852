"""Choose among items in the policy's order: the first that nothing bars.

An item that an undecided rule may bar is never chosen; it only raises a question.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.planning.plan import Excluded

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import LiveRule, Situation, Truth
    from lumenkeep.core.policy.rules import Exclusion


SPANS = ("age", "gestation_at_birth", "mass", "postmenstrual_age")


@dataclass(frozen=True, slots=True)
class Choice:
    """The outcome of trying items in order.

    Attributes
    ----------
    first
        The first item that no rule surely bars; None when all are barred.
    certain
        The first item that surely nothing bars; None when there is none.
    doubts
        Positions of the exclusions that leave items before ``certain`` undecided.
    """

    first: str | None
    certain: str | None
    doubts: tuple[int, ...]

    @property
    def is_decided(self) -> bool:
        """Whether the first item not barred is also certain."""
        return self.first == self.certain


def judge(prepared: Prepared, situation: Situation) -> list[Truth]:
    """Return whether each of the book's exclusions holds, in the book's order."""
    return [e.when.truth(situation) for e in prepared.book.exclusions]


def choose(prepared: Prepared, judged: Sequence[Truth], order: Sequence[str]) -> Choice:
    """Return the choice among ``order``, given which exclusions hold."""
    exclusions = prepared.book.exclusions
    first = None
    doubts: list[int] = []
    for item in order:
        barring = prepared.barred_by.get(item, ())
        truths = [judged[position] for position in barring]
        if True in truths:
            continue
        if first is None:
            first = item
        open_ = [
            position
            for position in barring
            if judged[position] is None
            and exclusions[position].rule.if_unknown == "ask"
        ]
        if not open_:
            return Choice(first, item, tuple(doubts))
        doubts += open_
    return Choice(first, None, tuple(doubts))


def excluded(
    prepared: Prepared,
    judged: Sequence[Truth],
    items: Sequence[str],
    situation: Situation,
) -> tuple[Excluded, ...]:
    """Return every item that a rule surely bars, with the rule and the fact behind it."""
    if True not in judged:
        return ()
    because: dict[int, str] = {}
    found = []
    for item in items:
        for position in prepared.barred_by.get(item, ()):
            if judged[position] is not True:
                continue
            live = prepared.book.exclusions[position]
            if position not in because:
                because[position] = reason(live, situation)
            rule = live.rule
            found.append(Excluded(item, rule.id, because[position], rule.source))
    return tuple(found)


def reason(live: LiveRule[Exclusion], situation: Situation) -> str:
    """Return why a rule holds: its plain words and the facts of this child."""
    row = live.when.holding_row(situation) or ()
    facts_of_row = [c.fact for c in row if c.fact in SPANS]
    if len(facts_of_row) != 1:
        facts_of_row = [fact for fact in facts_of_row if fact != "age"]
    known = [situation.value_in_words(fact) for fact in facts_of_row]
    facts = ", ".join(dict.fromkeys(words for words in known if words))
    text = live.rule.because
    return f"{text.rstrip('.')} ({facts})." if facts else text
