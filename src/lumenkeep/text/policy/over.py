"""Say in few words what one set says otherwise than another, part by part."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.when import Condition
from lumenkeep.core.comparing.changes import ADDED, CHANGED, LOST, MOVED
from lumenkeep.core.comparing.kinds import (
    HEAD,
    NEEDED,
    NUMBER,
    OF_PROCEDURES,
    PROCEDURE,
    RULE,
    SAFE,
    SET,
    STEP,
)
from lumenkeep.core.comparing.statements import Amount, DaysOfValue, days_of
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live
from lumenkeep.core.policy.kept_words import noun
from lumenkeep.core.rehearsal.procedure_files import bedside_written
from lumenkeep.errors import NoRuleError
from lumenkeep.text.policy.statements import Numbers, content_words
from lumenkeep.text.policy.words import condition_words, value_words, when_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from lumenkeep.core.comparing.changes import PartChange, StatementChange
    from lumenkeep.core.comparing.over import Over
    from lumenkeep.core.policy import Policy

LINE = 88
"""Letters of a text that are shown whole; of a longer one what differs is shown."""
LONGEST = 2 * LINE
AROUND = 3
"""Words shown before and after one that differs."""
GAP = "…"


def turn_words(was: str, now: str) -> str:
    """Return "was → now"; of texts longer than a line only where they differ.

    Examples
    --------
    >>> turn_words("2 years", "12 years")
    '2 years → 12 years'
    """
    if max(len(was), len(now)) > LINE:
        was, now = _differing(was, now)
    return f"{was} → {now}"


def cut(text: str, most: int = LINE) -> str:
    """Return a text, and of one longer than a line its beginning."""
    if len(text) <= most:
        return text
    quote = "”" if text.startswith("“") else ""
    return f"{text[:most].rpartition(' ')[0] or text[:most]} {GAP}{quote}"


def _differing(was: str, now: str) -> tuple[str, str]:
    one, two = _bare(was).split(), _bare(now).split()
    steps = SequenceMatcher(None, one, two, autojunk=False).get_opcodes()
    turns = [step for step in steps if step[0] != "equal"]
    before = _pieces(one, [(step[1], step[2]) for step in turns])
    after = _pieces(two, [(step[3], step[4]) for step in turns])
    return _quoted_as(was, before), _quoted_as(now, after)


def _pieces(words: list[str], spans: list[tuple[int, int]]) -> str:
    """Return the words of the spans with their neighbours, and gaps between."""
    shown = {
        place
        for start, end in spans
        for place in range(start - AROUND, end + AROUND)
        if 0 <= place < len(words)
    }
    found: list[str] = []
    for place, word in enumerate(words):
        if place in shown:
            found.append(word)
        elif not found or found[-1] != GAP:
            found.append(GAP)
    return " ".join(found)


def _bare(text: str) -> str:
    return text[1:-1] if text.startswith("“") and text.endswith("”") else text


def _quoted_as(text: str, piece: str) -> str:
    return cut(f"“{piece}”" if text.startswith("“") else piece, LONGEST)


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


class SetPair:
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
    return not (isinstance(days, DaysOfValue) and len(days.values) > 1)


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
    if not isinstance(days, DaysOfValue):
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


SENTENCES_SHOWN = 12
"""Of so many statements what they say is shown; of more that are only told otherwise, or
added, the ids."""
IDS_SHOWN = 48


def anew_in_words(over: Over, day: date) -> str:
    """Return what a set says anew over the one that it extends."""
    found = _Found.of(over, day)
    told = [
        *found.otherwise,
        *_few([f"{one} (words)" for one in found.words], over),
        *(f"{one} (left out)" for one in found.lost),
        *(f"{one} (order)" for one in found.moved),
    ]
    return f"Said anew by {over.by.id}, over {over.over.id}: {', '.join(told)}."


def added_in_words(over: Over, day: date) -> str:
    """Return what a set adds to the one that it extends."""
    told = _added(over.changes, over, day)
    return f"Added by {over.by.id}, over {over.over.id}: {', '.join(told)}."


def departures_in_words(over: Over, day: date) -> Iterator[str]:
    """Yield how a set departs from the shipped one that it was copied from."""
    found = _Found.of(over, day)
    groups = {
        "left out": found.lost,
        "otherwise": [*found.otherwise, *(f"{one} (order)" for one in found.moved)],
        "added": _added(over.changes, over, day),
        "in other words": _few(found.words, over),
    }
    for what, ids in groups.items():
        if ids:
            yield f"Built like {over.over.id}, but {what}: {', '.join(ids)}."


@dataclass(frozen=True, slots=True)
class _Found:
    """What two sets do not both say alike, but for what is added.

    ``otherwise`` shows what became of what; ``words`` holds ids of what is only told
    otherwise.
    """

    otherwise: list[str]
    words: list[str]
    lost: list[str]
    moved: list[str]

    @classmethod
    def of(cls, over: Over, day: date) -> _Found:
        pair = SetPair(over, day)
        changed = [
            (one, pair.turns(one)) for one in over.changes if one.change == CHANGED
        ]
        # Of a translation nobody reads each sentence here.
        count = sum(bool(turns.reads) for _, turns in changed)
        are_few = not over.is_shipped and count <= SENTENCES_SHOWN
        found = cls([], [], *(_ids(over.changes, word) for word in (LOST, MOVED)))
        for one, turns in changed:
            shown = _shown(one, turns, with_sentences=are_few)
            (found.otherwise if shown else found.words).append(_id(one) + shown)
        return found


def _shown(one: StatementChange, turns: Turns, *, with_sentences: bool) -> str:
    parts = (*turns.decides, *(turns.reads if with_sentences else ()))
    if one.kind == NUMBER and turns.decides:
        return f" {'; '.join(parts)}"
    return f" ({'; '.join(parts)})" if parts else ""


def _added(changes: Iterable[StatementChange], over: Over, day: date) -> list[str]:
    """Return what is added; the steps of a procedure go with it."""
    pair = SetPair(over, day)
    added = [one for one in changes if one.change == ADDED]
    whole = {one.id for one in added if one.kind == PROCEDURE}
    alone = [one for one in added if not _is_step_of(one, whole)]
    told = [
        _id(one) + (pair.added(one) if place < SENTENCES_SHOWN else "")
        for place, one in enumerate(alone)
    ]
    return _few(told, over, IDS_SHOWN)


def _is_step_of(one: StatementChange, procedures: set[str]) -> bool:
    return one.kind == STEP and all(
        id_.partition("/")[0] in procedures for id_ in (one.id, *one.also)
    )


def _few(ids: Sequence[str], over: Over, most: int = SENTENCES_SHOWN) -> list[str]:
    """Return the first ids; for the rest how many, and what lists them."""
    if len(ids) <= most:
        return list(ids)
    compare = f"“lumenkeep compare {over.over.id} FOLDER” lists them"
    return [*ids[:most], f"and {len(ids) - most} more: {compare}"]


def _ids(changes: Iterable[StatementChange], word: str) -> list[str]:
    return [_id(one) for one in changes if one.change == word]


def _id(change: StatementChange) -> str:
    return change.id if change.kind == SET else f"{noun(change.kind)} {change.id}"
