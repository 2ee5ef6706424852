"""Say in few words what one set says otherwise than another: ids, and what numbers became."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.exchange.reading_words import value_words
from lumenkeep.exchange.statement_words import Numbers, content_words
from lumenkeep.policy.kept_words import noun
from lumenkeep.policy.rule_texts import TEXTS
from lumenkeep.services.comparing.changes import ADDED, LOST, MOVED
from lumenkeep.services.comparing.kinds import NUMBER, SET
from lumenkeep.services.comparing.statements import Amount, Days
from lumenkeep.services.procedure_files import bedside_written

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from lumenkeep.policy.numbers import Value
    from lumenkeep.services.comparing.changes import PartChange, StatementChange
    from lumenkeep.services.comparing.over import Over

TOLD = TEXTS | {
    "source", "how", "numbers", "reports", "means", "title", "rule", "mend", "look",
    "says_first", "redo", "called", "flatters_source", "stricter", "abstract",
}  # fmt: skip
"""Parts that say how a statement is told."""
WORDS_SHOWN = 12
"""Of how many statements told in other words the ids are shown."""


def anew_in_words(over: Over, day: date) -> str:
    """Return what a set says anew over the one that it extends."""
    pair = _Pair(over, day)
    told = [
        _id(one) + (pair.shortly(one) or " (words)")
        for one in over.changes
        if one.change not in (LOST, MOVED)
    ]
    told += [f"{_id(one)} (left out)" for one in over.changes if one.change == LOST]
    told += [f"{_id(one)} (order)" for one in over.changes if one.change == MOVED]
    return f"Said anew by {over.by.id}, over {over.over.id}: {', '.join(told)}."


def departures_in_words(over: Over, day: date) -> Iterator[str]:
    """Yield how a set departs from the shipped one that it was copied from."""
    pair = _Pair(over, day)
    groups: dict[str, list[str]] = {}
    for one in over.changes:
        if one.change in (LOST, ADDED):
            what = "left out" if one.change == LOST else "added"
            groups.setdefault(what, []).append(_id(one))
            continue
        short = " (order)" if one.change == MOVED else pair.shortly(one)
        what = "otherwise" if short else "in other words"
        groups.setdefault(what, []).append(_id(one) + short)
    for what in ("left out", "otherwise", "added", "in other words"):
        ids = groups.get(what, [])
        if what == "in other words" and len(ids) > WORDS_SHOWN:
            more = len(ids) - WORDS_SHOWN
            ids = [*ids[:WORDS_SHOWN], f"and {more} more"]
        if ids:
            yield f"Built like {over.over.id}, but {what}: {', '.join(ids)}."


def _id(change: StatementChange) -> str:
    return change.id if change.kind == SET else f"{noun(change.kind)} {change.id}"


class _Pair:
    """Two sets, with the numbers that their statements go by on a day."""

    def __init__(self, over: Over, day: date) -> None:
        self._one = bedside_written(over.over).numbers
        self._two = bedside_written(over.by).numbers
        self._day = day

    def shortly(self, change: StatementChange) -> str:
        """Return what a statement decides otherwise; empty where it is told otherwise."""
        parts = [self._part(part, change) for part in change.parts]
        told = [part for part in dict.fromkeys(parts) if part]
        if change.kind == NUMBER and told:
            return f" {'; '.join(told)}"
        return f" ({'; '.join(told)})" if told else ""

    def _part(self, part: PartChange, change: StatementChange) -> str:
        name = part.part.rpartition(": ")[2]
        if name in TOLD:
            return ""
        day = part.from_on or self._day
        one = Numbers(self._one, change.id, day)
        two = Numbers(self._two, change.id, day)
        was, now = _amount(part.one, one), _amount(part.two, two)
        label = "" if change.kind == NUMBER else f"{_words(part.part)} "
        if was is not None and now is not None:
            since = f" from {part.from_on} on" if part.from_on else ""
            turn = f"{label}{value_words(*was)} → {value_words(*now)}{since}"
            return "" if was == now else turn
        if content_words(part.one, one) == content_words(part.two, two):
            return ""
        if all(_is_short(said) for said in (part.one, part.two)):
            return f"{label}{_plain(part.one)} → {_plain(part.two)}"
        return _words(part.part)


def _amount(content: Any, numbers: Numbers) -> tuple[Value, str] | None:
    """Return the value that a part holds or names on the day, with its unit."""
    if isinstance(content, Days):
        content = content.on(numbers.day) or content.values[0][1]
    if isinstance(content, Amount):
        return content.value, content.unit
    number = numbers.by_id.get(content) if isinstance(content, str) else None
    return (numbers.value(number), number.unit) if number else None


def _is_short(content: Any) -> bool:
    return content is None or (
        isinstance(content, str | int) and " " not in str(content)
    )


def _plain(content: Any) -> str:
    if content is None:
        return "nothing"
    return ("yes" if content else "no") if isinstance(content, bool) else str(content)


def _words(part: str) -> str:
    return part.replace("_", " ")
