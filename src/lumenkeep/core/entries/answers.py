"""What an answer of an entry may be: words, numbers, texts, instants.

One type for each way of answering. A type knows what a body may hold; how a form asks
for it and how a page shows it follow from the type.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a list.

    Parameters
    ----------
    words
        What is said for each word.
    is_free
        Whether a body may hold another text as well: forms offer the list, files and
        older entries may say it in their own words.
    is_said
        Whether the body holds what is said for the word, not the word.
    is_number
        Whether the words are digits, and the body holds the number.
    is_long
        Whether a form shows a list to open, not buttons.
    """

    words: Mapping[str, str]
    is_free: bool = False
    is_said: bool = False
    is_number: bool = False
    is_long: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """Several words of a list, in its order; an empty list says that none applies.

    Parameters
    ----------
    none
        The word a form shows for "none of these", and what is said for it; None where
        nobody can say so.
    is_free
        As for `Word`.
    groups
        How a form cuts the list: name of the field, what it asks, its words. The
        first holds the word for none of these.
    """

    words: Mapping[str, str]
    none: tuple[str, str] | None = None
    is_free: bool = False
    groups: tuple[tuple[str, str, Mapping[str, str]], ...] = ()


SPECIMENS, CONCERNS = "specimens", "concerns"


@dataclass(frozen=True, slots=True)
class Offered:
    """One of what the ward or its policy offers.

    Parameters
    ----------
    source
        "agents" of the policy, "staff" or "wards" of the hospital; `SPECIMENS` of the
        child, by the number of their entry; `CONCERNS` of the line, by their key.
    """

    source: str


@dataclass(frozen=True, slots=True)
class Measure:
    """A number in a unit.

    Parameters
    ----------
    unit
        As it is said: "mm", "g", "°C".
    bound
        Which bound of the world it lies within; empty where none is known.
    scale
        How many of the bound's unit one of ``unit`` is.
    """

    unit: str
    bound: str = ""
    scale: float = 1


@dataclass(frozen=True, slots=True)
class Count:
    """A whole number; ``bound`` as for `Measure`."""

    bound: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """Words of one's own; ``longest`` in characters, ``is_long`` for a few lines."""

    longest: int = 2000
    is_long: bool = True


@dataclass(frozen=True, slots=True)
class Texts:
    """Several texts, one a line in a form."""


@dataclass(frozen=True, slots=True)
class YesNo:
    """Yes or no; ``neither`` is the word and the words for not knowing."""

    neither: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Day:
    """A calendar day."""


@dataclass(frozen=True, slots=True)
class Days:
    """A first and a last day, or neither."""


@dataclass(frozen=True, slots=True)
class BirthMoment:
    """An instant with its offset, or the day alone where no time is on record."""


@dataclass(frozen=True, slots=True)
class GestationWeeks:
    """Weeks and days, as in 27w3d."""


@dataclass(frozen=True, slots=True)
class Grades:
    """A grade on each of the policy's scales, by the scale's id."""


TEXT, TABLE, ROWS = "text", "table", "rows"


@dataclass(frozen=True, slots=True)
class Substances:
    """Any substances, each with what it did, how severely, and if it touches the skin."""


@dataclass(frozen=True, slots=True)
class Held:
    """Something that a person does not type: an account of a guide, a proposal.

    Parameters
    ----------
    shape
        `TEXT`, `TABLE` or `ROWS` (a list of tables); empty for anything.
    names_blood
        Whether it rests on the ids of specimens' entries: names them, as in "e12", or
        is a digest of what does.
    """

    shape: str = ""
    names_blood: bool = False


Answer = (
    Word
    | Words
    | Offered
    | Measure
    | Count
    | Text
    | Texts
    | YesNo
    | Day
    | Days
    | BirthMoment
    | GestationWeeks
    | Grades
    | Substances
    | Held
)
