"""Say part by part what two sets say otherwise, and what only one of them says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.when import Condition
from lumenkeep.core.comparing.kinds import (
    HEAD,
    NEEDED,
    NUMBER,
    OF_PROCEDURES,
    RULE,
    SAFE,
)
from lumenkeep.core.comparing.statements import Amount, Days, days_of
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live
from lumenkeep.core.rehearsal.procedure_files import bedside_written
from lumenkeep.errors import NoRuleError
from lumenkeep.text.policy.setting import condition_words
from lumenkeep.text.policy.statements import Numbers, content_words
from lumenkeep.text.policy.turns import cut, turn_words
from lumenkeep.text.policy.words import value_words, when_words

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.core.comparing.changes import PartChange, StatementChange
    from lumenkeep.core.comparing.over import Over
    from lumenkeep.core.policy import Policy

TOLD = frozenset((
    "numbers", "reports", "means", "title", "label", "topic", "because", "rule", "mend",
    "called", "population", "flatters", "flatters_source", "stricter", "abstract",
))  # fmt: skip
"""Parts that say how a statement is called and told."""
OF_A_STEP = ("when", "resets")
"""What is shown of what is added to procedures beside its sentence."""
KNOWN_FROM = frozenset(("source", "how"))
SAYS_WHY = frozenset((RULE, NEEDED, HEAD, SAFE, "disagreement"))
"""Kinds whose ``says`` nobody at the bedside follows."""
CALLED = ("label", "topic", "title", "means", "says", "because")
"""Parts that a statement is known by, the first that it has."""


@dataclass(frozen=True, slots=True)
class Turns:
    """What of a statement turned into what.

    Attributes
    ----------
    decides
        Values, words and conditions.
    reads
        Sentences that are followed at the bedside; where nothing else differs, sources.
    """

    decides: tuple[str, ...]
    reads: tuple[str, ...]


class Pair:
    """Two sets, with the numbers that their statements go by on a day."""

    def __init__(self, over: Over, day: date) -> None:
        self._policies = (over.over, over.by)
        self._numbers = tuple(bedside_written(one).numbers for one in self._policies)
        self._day = day

    def turns(self, change: StatementChange) -> Turns:
        """Return what differs of a statement that both sets make."""
        decides: dict[str, None] = {}
        reads: dict[str, None] = {}
        sources: dict[str, None] = {}
        for part in change.parts:
            name = _name(part)
            if _is_told(name, change.kind) or _is_told_by_when(part):
                continue
            if said := self._turn(part, change):
                is_read = any(_is_sentence(one) for one in (part.one, part.two))
                at = sources if name in KNOWN_FROM else reads if is_read else decides
                at[said] = None
        return Turns(tuple(decides), tuple(reads or ({} if decides else sources)))

    def _turn(self, part: PartChange, change: StatementChange) -> str:
        was, now = self._said(part, change, 0), self._said(part, change, 1)
        if _name(part) == "when" and was == now:
            # The same today: by numbers that may differ on a day to come.
            was, now = (", ".join(_named(one)) for one in (part.one, part.two))
        if was == now or (_name(part) in KNOWN_FROM and "" in (was, now)):
            return ""
        is_bare = change.kind == NUMBER and part.part == "value"
        label = "" if is_bare else f"{_words(part.part)} "
        since = f" from {part.from_on} on" if part.from_on else ""
        return f"{label}{turn_words(was, now)}{since}"

    def added(self, change: StatementChange) -> str:
        """Return what a statement says that only the second set makes, a part a phrase."""
        said = {part.part: part for part in change.parts if _holds(part.two)}
        if change.kind == NUMBER:
            return f" {self._said(said['value'], change, 1)}"
        called = next((key for key in CALLED if key in said), None)
        found = [cut(self._said(said[called], change, 1))] if called else []
        for name, part in said.items():
            is_shown = name in OF_A_STEP or change.kind not in OF_PROCEDURES
            is_told = _is_told(_name(part), change.kind) or _name(part) in KNOWN_FROM
            is_told = is_told or name == called or _is_told_by_when(part)
            if is_shown and not is_told:
                found.append(f"{_words(name)} {cut(self._said(part, change, 1))}")
        return f" ({'; '.join(found)})" if found else ""

    def _said(self, part: PartChange, change: StatementChange, side: int) -> str:
        content = part.two if side else part.one
        numbers = Numbers(
            self._numbers[side],
            change.id,
            part.from_on or self._day,
            {
                **change.says,
                **{one.part: (one.one, one.two)[side] for one in change.parts},
            },
        )
        amount = _amount_words(content, numbers)
        if amount:
            return amount
        if _name(part) in KNOWN_FROM:
            return _source(content)
        if _name(part) == "when":
            return self._when(content, self._policies[side], numbers)
        return content_words(None if content == "" else content, numbers)

    def _when(self, when: Any, policy: Policy, numbers: Numbers) -> str:
        """Return conditions as the reading of a set says them."""
        if not when:
            return "always"
        if isinstance(when[0][0], Condition):
            return condition_words(when, policy)
        try:
            book = policy.on(numbers.day)
            rows = tuple(
                tuple(live(c, book.value(c.number) if c.number else None) for c in row)
                for row in when
            )
            return when_words(LiveWhen(rows), book)
        except NoRuleError:  # a number that starts later
            return content_words(when, numbers)


def _name(part: PartChange) -> str:
    return part.part.rpartition(": ")[2]


def _is_told(name: str, kind: str) -> bool:
    if name == "because":
        return kind != "note"
    return name in TOLD or (name == "says" and kind in SAYS_WHY)


def _is_told_by_when(part: PartChange) -> bool:
    """Return whether it is a number in a condition of one side, which tells it."""
    if not part.part.startswith("when ") or None not in (part.one, part.two):
        return False
    days = part.one or part.two
    return not (isinstance(days, Days) and len(days.values) > 1)


def _named(when: Any) -> list[str]:
    """Return the ids of the numbers that conditions of a rule name."""
    return [
        one.number
        for row in when or ()
        for one in row
        if isinstance(one, Comparison) and one.number
    ]


def _is_sentence(content: Any) -> bool:
    if isinstance(content, tuple):
        return any(_is_sentence(one) for one in content)
    return isinstance(content, str) and " " in content


def _holds(content: Any) -> bool:
    return content not in (None, (), "", False, 0)


def _amount_words(content: Any, numbers: Numbers) -> str:
    """Return the value that a part holds or names on the day, and those to come."""
    if isinstance(content, Amount):
        return value_words(content.value, content.unit)
    number = numbers.by_id.get(content) if isinstance(content, str) else None
    days = days_of(number) if number else content
    if not isinstance(days, Days):
        return ""
    now = days.on(numbers.day) or days.values[0][1]
    told = [value_words(now.value, now.unit)]
    told += [
        f"{value_words(amount.value, amount.unit)} from {start} on"
        for start, amount in days.values
        if start > numbers.day and amount is not now
    ]
    return ", ".join(told)


def _source(content: Any) -> str:
    """Return a source, of a number each with how it is known; empty where none is said."""
    if isinstance(content, tuple):
        rows = (" ".join(word for word in row[1:] if word) for row in content)
        return ", ".join(dict.fromkeys(rows))
    return content or ""


def _words(part: str) -> str:
    return part.replace("_", " ")
