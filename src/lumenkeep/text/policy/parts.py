"""What a policy's reading is made of, and who is cited for what.

A statement is one rule in plain sentences. Whatever rests on a source says so where
it stands; sources are numbered in the order in which they are first cited.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.text.policy.words import (
    capital,
    day_words,
    listed,
    value_words,
    when_words,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lumenkeep.core.policy import LiveRule, LiveWhen, Rule, RuleBook
    from lumenkeep.core.policy.numbers import DatedValue
    from lumenkeep.core.policy.rules import Source

WORD = re.compile(r"\w+")
HOW_WORDS = {
    "found": "found: the text was seen",
    "memory": "from memory: to be confirmed against the edition in force",
    "common-practice": "common practice: no publication behind it",
}
HOW_INLINE = {
    "memory": "from memory, to be confirmed",
    "common-practice": "common practice",
}


@dataclass(frozen=True, slots=True)
class Cite:
    """Who is cited.

    Parameters
    ----------
    source
        Id of the source.
    label
        Who and when, as in "CDC, HICPAC 2011".
    place
        Its number in the list of sources.
    how
        A word of doubt about how it is known; empty where there is none.
    about
        The number it is cited for, in words; empty for the rule itself.
    """

    source: str
    label: str
    place: int
    how: str
    about: str


@dataclass(frozen=True, slots=True)
class Detail:
    """One more thing about a statement, under a word of its own."""

    label: str
    text: str
    cites: tuple[Cite, ...] = ()


@dataclass(frozen=True, slots=True)
class StatementText:
    """A rule in plain sentences; ``rule`` is its id, empty where it is no rule."""

    rule: str
    text: str
    because: str = ""
    details: tuple[Detail, ...] = ()
    cites: tuple[Cite, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadingPart:
    """Statements under a common heading, which may be empty."""

    heading: str
    statements: tuple[StatementText, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One chapter of the reading; ``key`` names it in addresses."""

    key: str
    title: str
    lead: str
    parts: tuple[ReadingPart, ...]


@dataclass(frozen=True, slots=True)
class SourceSays:
    """What one source says on a point on which guidance disagrees."""

    cite: Cite
    says: str


@dataclass(frozen=True, slots=True)
class DisputeText:
    """A point on which published guidance disagrees, for whom, and who says what."""

    rule: str
    topic: str
    because: str
    when: str
    said: tuple[SourceSays, ...]
    cites: tuple[Cite, ...]


@dataclass(frozen=True, slots=True)
class NumberValue:
    """A value, its first day, and whether it was, is or will be in force."""

    since: str
    words: str
    state: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class NumberRow:
    """A number of the policy with all its values, oldest first.

    ``is_named`` tells a number with a name of its own from one written in a rule.
    """

    id: str
    means: str
    is_named: bool
    values: tuple[NumberValue, ...]


@dataclass(frozen=True, slots=True)
class SourceRow:
    """A source that the reading cites, at its place in the list."""

    place: int
    id: str
    title: str
    body: str
    year: str
    address: str
    covers: str
    how: str


class Citations:
    """Gives sources their places, and every statement its citations.

    Parameters
    ----------
    book
        Rule book of the day that is read.
    more
        Sources beyond the set's own, by id: those of its procedures.
    """

    def __init__(
        self, book: RuleBook, more: Mapping[str, Source] | None = None
    ) -> None:
        self.book = book
        self._sources = {**(more or {}), **book.policy.sources}
        self._places: dict[str, int] = {}

    def cite(self, source: str, how: str | None, about: str = "") -> Cite:
        """Return a citation; a source cited for the first time gets the next place."""
        found = self._sources[source]
        place = self._places.setdefault(source, len(self._places) + 1)
        label = source_label(found)
        word = HOW_INLINE.get(how or found.how, "")
        return Cite(source, label, place, "" if word in label.lower() else word, about)

    def of_number(self, number: str) -> Cite:
        """Return the citation of the value in force, with the value in words."""
        return self._of_value(number, self._in_force(number), self.words(number))

    def of_numbers(self, *numbers: str | None) -> tuple[Cite, ...]:
        """Return citations of numbers that stand together, each source once."""
        found = self._grouped(number for number in numbers if number)
        return found if len(found) > 1 else tuple(replace(c, about="") for c in found)

    def _grouped(self, numbers: Iterable[str]) -> tuple[Cite, ...]:
        """Return one citation for the numbers of one source, naming them."""
        found: dict[tuple[str, str], list[Cite]] = {}
        for number in dict.fromkeys(numbers):
            cite = self.of_number(number)
            found.setdefault((cite.source, cite.how), []).append(cite)
        return tuple(
            replace(cites[0], about=listed(list(dict.fromkeys(c.about for c in cites))))
            for cites in found.values()
        )

    def _of_value(self, number: str, value: DatedValue, about: str) -> Cite:
        del number
        return self.cite(value.source, value.how, about)

    def _in_force(self, number: str) -> DatedValue:
        self.book.value(number)  # says what is wrong where there is none
        value = self.book.policy.numbers[number].on(self.book.day)
        assert value is not None  # noqa: S101  just looked up
        return value

    def words(self, number: str) -> str:
        """Return the value in force in words."""
        unit = self.book.policy.numbers[number].unit
        return value_words(self.book.value(number), unit)

    def later(self, numbers: Iterable[str]) -> tuple[Detail, ...]:
        """Return what the numbers become on later days, in the order of the days."""
        found = []
        for id_ in dict.fromkeys(numbers):
            number = self.book.policy.numbers[id_]
            now = self.words(id_)
            for value in number.values:
                if value.start > self.book.day:
                    becomes = value_words(value.value, number.unit)
                    cite = self._of_value(id_, value, becomes)
                    label = f"From {day_words(value.start)}"
                    text = f"{becomes} instead of {now}."
                    found.append((value.start, Detail(label, text, (cite,))))
        return tuple(detail for _, detail in sorted(found, key=lambda f: f[0]))

    def of_rule(self, rule: Rule, numbers: Iterable[str] = ()) -> tuple[Cite, ...]:
        """Return the citation of a rule, and of numbers that rest on another source."""
        own = self.cite(rule.source, rule.how)
        others = self._grouped(numbers)
        return (own, *(c for c in others if (c.source, c.how) != (own.source, own.how)))

    def statement(
        self,
        live: LiveRule[Rule],
        text: str,
        *,
        because: bool = True,
        details: Iterable[Detail] = (),
        numbers: Iterable[str] = (),
    ) -> StatementText:
        """Return a rule's statement, citing it and the numbers of its conditions.

        Parameters
        ----------
        live
            The rule with its condition.
        text
            Its sentence.
        because
            Whether to give its reason too.
        details
            What else there is to say.
        numbers
            Ids of numbers that the text names beyond the conditions.
        """
        rule = live.rule
        named = [*numbers_of(live.when), *numbers]
        return StatementText(
            rule.id,
            text,
            rule.because if because and _adds(rule.because, text) else "",
            (*details, *self.later(named)),
            self.of_rule(rule, named),
        )

    def when(self, when: LiveWhen) -> str:
        """Return a condition as it stands after "when"; empty if it always holds."""
        return when_words(when, self.book)

    def sources(self) -> tuple[SourceRow, ...]:
        """Return every source cited so far, in the order of their places."""
        return tuple(
            _source_row(self._sources[id_], place)
            for id_, place in sorted(self._places.items(), key=lambda item: item[1])
        )


def _adds(because: str, text: str) -> bool:
    """Return whether a reason says anything that the sentence does not."""
    said = set(WORD.findall(text.lower()))
    return any(word not in said for word in WORD.findall(because.lower()))


def numbers_of(when: LiveWhen) -> tuple[str, ...]:
    """Return the ids of the numbers that a condition compares with, each once."""
    found = [c.number for row in when.rows for c in row if c.number]
    return tuple(dict.fromkeys(found))


def source_label(source: Source) -> str:
    """Return who says it and when; its title where nobody published it."""
    if source.year:
        return f"{capital(source.body)} {source.year}"
    return source.title if source.how == "common-practice" else capital(source.body)


def _source_row(source: Source, place: int) -> SourceRow:
    return SourceRow(
        place=place,
        id=source.id,
        title=source.title,
        body=source.body,
        year=str(source.year or ""),
        address=source.address or "",
        covers=source.covers or "",
        how=HOW_WORDS[source.how],
    )
