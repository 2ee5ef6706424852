"""Say in words where two sets do not state the same."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.when import Condition
from lumenkeep.core.comparing.changes import ADDED, CHANGED, LOST, MOVED
from lumenkeep.core.comparing.kinds import QUESTION, about
from lumenkeep.core.comparing.statements import Amount, DaysOfValue
from lumenkeep.core.policy.conditions import Comparison
from lumenkeep.core.policy.numbers import Number
from lumenkeep.core.policy.sentences import fill, said
from lumenkeep.core.policy.vocabulary import FACTS
from lumenkeep.text.policy.words import day_words, listed, value_words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.comparing.changes import PartChange, StatementChange
    from lumenkeep.core.policy.numbers import Value

TESTS = {
    "below": "below",
    "at_least": "at least",
    "above": "above",
    "at_most": "at most",
    "is": "is",
    "is_not": "is not",
    "includes": "include one of",
    "includes_all": "include all of",
    "lacks": "include none of",
}
SAYING = ("says", "because", "means", "title", "label", "rule", "topic")
"""Parts of a statement that say what it is about, the first that it has."""
QUIET = ("source", "how", "numbers")
"""Parts that are not repeated of a statement that only one set makes."""


@dataclass(frozen=True, slots=True)
class ChangeInWords:
    """A statement that differs: heading, what is called so, what differs, and where.

    ``id`` names the statement as its file does; ``sentence`` says what it is about, and
    for whom; ``says`` holds one line a part.
    """

    about: str
    id: str
    change: str
    sentence: str
    says: tuple[str, ...]
    where_one: str
    where_two: str
    also: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SetSides:
    """What words need of the two sets: their numbers by id, and the day that counts."""

    one: Mapping[str, Number]
    two: Mapping[str, Number]
    day: date


def change_in_words(change: StatementChange, sides: SetSides) -> ChangeInWords:
    """Return a change of a statement in words."""
    if change.kind == QUESTION:
        # It names rules, whose ids may be those of numbers too.
        sides = SetSides({}, {}, sides.day)
    says: Iterable[str]
    if change.change == CHANGED:
        says = (_part(part, change.id, sides) for part in change.parts)
    elif change.change == MOVED:
        one, two = change.parts[0].one, change.parts[0].two
        says = (f"stands elsewhere: after {one} → after {two}",)
    else:
        says = _alone(change, sides)
    return ChangeInWords(
        about(change.kind),
        change.id,
        change.change,
        "" if change.change in (LOST, ADDED) else _sentence(change, sides),
        tuple(says),
        change.where_one,
        change.where_two,
        change.also,
    )


def _sentence(change: StatementChange, sides: SetSides) -> str:
    """Return what a statement is about, for whom, and what goes by it."""
    numbers = Numbers(sides.two, change.id, sides.day)
    told = {part.part for part in change.parts}
    about = next((key for key in SAYING if change.says.get(key)), None)
    about = None if about in told else about
    parts = [content_words(change.says[about], numbers)] if about else []
    if change.says.get("when") and "when" not in told:
        parts.append(f"when {content_words(change.says['when'], numbers)}")
    if change.named_by:
        parts.append(f"named by {listed(change.named_by)}")
    return ", ".join(parts)


def _alone(change: StatementChange, sides: SetSides) -> Iterable[str]:
    """Return what a statement says that only one of the two makes."""
    is_lost = change.change == LOST
    numbers = sides.one if is_lost else sides.two
    said_by = {part.part: part.one if is_lost else part.two for part in change.parts}
    about = next((key for key in SAYING if key in said_by), None)
    if about:
        yield content_words(said_by[about], Numbers(numbers, change.id, sides.day))
    for part, content in said_by.items():
        is_quiet = part in QUIET or part.endswith(": source") or part == about
        is_told = part.startswith("when ")  # with the conditions themselves
        if not is_quiet and not is_told and content not in (None, (), "", False):
            told = content_words(content, Numbers(numbers, change.id, sides.day))
            yield f"{_name(part)}: {told}"


def _part(part: PartChange, owner: str, sides: SetSides) -> str:
    day = part.from_on or sides.day
    one = content_words(part.one, Numbers(sides.one, owner, day))
    two = content_words(part.two, Numbers(sides.two, owner, day))
    return f"{_when(part)}{_name(part.part)}: {one} → {two}"


def _when(part: PartChange) -> str:
    if part.from_on and part.until_on:
        return f"from {part.from_on} until {part.until_on}: "
    if part.from_on:
        return f"from {part.from_on}: "
    return f"until {part.until_on}: " if part.until_on else ""


def _name(part: str) -> str:
    return part.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Numbers:
    """The numbers of one set on a day, as a statement of it may name them.

    ``parts`` are those of the statement, where a sentence may name a number by its part.
    """

    by_id: Mapping[str, Number]
    owner: str
    day: date
    parts: Mapping[str, Any] = field(default_factory=dict)

    def named(self, name: str) -> Number | None:
        """Return the number of that id or part, or the statement's own that ends so."""
        under = self.parts.get(name)
        found = self.by_id.get(under if isinstance(under, str) else name)
        if found is None:
            ends = (id_ for id_ in self.by_id if id_.endswith(f".{name}"))
            own = next((id_ for id_ in ends if id_.startswith(f"{self.owner}.")), "")
            found = self.by_id.get(own)
        return found

    def value(self, number: Number) -> Value:
        """Return what it is on the day, or first was."""
        return number.on_or_first(self.day).value


def content_words(content: Any, numbers: Numbers) -> str:
    """Return what a part of a statement holds."""
    if content is None or content == ():
        return "nothing"
    if isinstance(content, bool):
        return "yes" if content else "no"
    if isinstance(content, Amount):
        return value_words(content.value, content.unit)
    if isinstance(content, DaysOfValue):
        return _days(content)
    if isinstance(content, str):
        return _text(content, numbers)
    return _several(content, numbers)


def _several(content: Any, numbers: Numbers) -> str:
    if isinstance(content, tuple) and _is_when(content):
        rows = (" and ".join(_condition(c, numbers) for c in row) for row in content)
        return "; or ".join(rows)
    if isinstance(content, tuple):
        return ", ".join(content_words(one, numbers) for one in content)
    if isinstance(content, frozenset):
        return " or ".join(sorted(map(str, content)))
    if isinstance(content, Mapping):
        return ", ".join(f"{k} {content_words(v, numbers)}" for k, v in content.items())
    return str(content)


def _days(days: DaysOfValue) -> str:
    return ", ".join(
        value_words(amount.value, amount.unit)
        + (f" from {day_words(start)}" if len(days.values) > 1 else "")
        for start, amount in days.values
    )


def _text(text: str, numbers: Numbers) -> str:
    """Return a text; a number's id with its value, a sentence with its numbers."""
    if text in numbers.by_id:
        return f"{_value(numbers.by_id[text], numbers)} ({text})"

    def say(name: str, form: str) -> str:
        number = numbers.named(name)
        return said(number, numbers.value(number), form) if number else f"({name})"

    filled = fill(text, say)
    return f"“{filled}”" if " " in filled else filled


def _value(number: Number, numbers: Numbers) -> str:
    return value_words(numbers.value(number), number.unit)


def _is_when(content: tuple[Any, ...]) -> bool:
    return all(
        isinstance(row, tuple)
        and row != ()
        and all(isinstance(one, Comparison | Condition) for one in row)
        for row in content
    )


def _condition(one: Comparison | Condition, numbers: Numbers) -> str:
    if isinstance(one, Condition):
        verb = "is" if one.wanted else "is not"
        return f"{_name(one.fact)} {verb} {listed(sorted(one.words), 'or')}"
    fact = FACTS[one.fact]
    if one.number is not None and one.number in numbers.by_id:
        limit = _value(numbers.by_id[one.number], numbers)
    else:
        known = dict(fact.allowed or {})
        limit = listed([known.get(word, word).lower() for word in one.words], "or")
    return f"{fact.label} {TESTS[one.test]} {limit}"
