"""Sentences whose numbers come from the policy's own numbers.

A sentence names a number between braces, as in "A clear film stays
{dressing-transparent} at most.", and is filled from the value of the day. Whatever
number stands in it otherwise, in figures or in words, is its own, and may one day lie.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.model.quantities import DAYS_PER_WEEK, whole_or_not
from lumenkeep.core.model.times import MONTHS_PER_YEAR
from lumenkeep.core.policy.numbers import GESTATION_UNIT, MM_PER, Value

if TYPE_CHECKING:
    from lumenkeep.core.policy.numbers import Number

Say = Callable[[str, str], str]
"""Gives what to say for a number's name and the form asked for."""

_PLACE = re.compile(r"\{\s*([^{}:]+?)\s*(?::([^{}]*))?\}")
_EDITION = re.compile(r"\b[A-Z][A-Za-z]*,? (?:19|20)[0-9]{2}\b")
_FIGURE = re.compile(r"(?<![A-Za-z0-9])(?!0(?![0-9.,]))[0-9]+(?:[.,][0-9]+)?[^\s.,;:]*")
_IN_WORDS = re.compile(
    r"\b(?:two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen"
    r"|fifteen|sixteen|eighteen|twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety"
    r"|hundred|thousand|(?:four)?score|dozens?|couple|twice|thrice|(?:two|three|four"
    r"|five|six|seven|eight|nine|ten)fold|double|triple|half|halves|quarter"
    r"|fortnight(?:ly)?|hourly|daily|nightly|weekly|monthly|yearly"
    r"|(?:an?|each|every|per) (?:minute|hour|day|week|month|year))\b",
    re.IGNORECASE,
)
_ROMAN = re.compile(
    r"\b(?:[IVX]{2,}|V|VI{1,3}|IX) (?:minute|hour|day|week|month|year)s?\b"
)
_UNIT_AFTER_BARE = re.compile(
    r"\{[^{}:]+:\s*bare\s*\}(?:[0-9]|[\s-]*(?:seconds?|minutes?|hours?|days?|nights?|weeks?"
    r"|months?|years?|s|min|h|g|kg|mm|cm|m|%|percent)(?![A-Za-z]))"
)
_COUNTS_IN_WORDS = ("none", "one", "two", "three", "four", "five", "six", "seven",
                   "eight", "nine", "ten", "eleven", "twelve")  # fmt: skip
_LONG_SPANS = ((86_400, "day"), (3600, "hour"), (60, "minute"), (1, "second"))
_DAYS_FROM = 97 * 3600
"""Hours are said up to four days of them, as documents do; beyond that, days."""
WORDS, BARE, EVERY = "words", "bare", "every"


def places_in(text: str) -> tuple[str, ...]:
    """Return the names of numbers that a sentence asks for."""
    return tuple(match[1] for match in _PLACE.finditer(text))


@lru_cache(maxsize=16_384)
def stray_number(text: str) -> str | None:
    """Return a number that a sentence holds of its own; None where it has none.

    The year of a named edition ("INS 2024"), figures within a name ("epic3") and a
    bare 0 are no numbers of a rule. Figures of every script count, characters that
    nobody sees hide none, and a unit behind a number that is said without its own is
    a number too: "{x:bare} weeks" says weeks whatever x is counted in.

    Examples
    --------
    >>> stray_number("It stays 7 days."), stray_number("Once a day."), stray_number("{x}")
    ('7', 'a day', None)
    """
    seen = _as_seen(text)
    bare = _EDITION.sub(" ", _PLACE.sub(" ", seen))
    found = (
        _FIGURE.search(bare)
        or _IN_WORDS.search(bare)
        or _ROMAN.search(bare)
        or _UNIT_AFTER_BARE.search(seen)
    )
    return found[0] if found else None


def _as_seen(text: str) -> str:
    """Return a text without what nobody sees, its figures in the common ones."""
    return text if text.isascii() else "".join(map(_shown, text))


@lru_cache(maxsize=1024)
def _shown(character: str) -> str:
    if unicodedata.category(character) == "Cf":
        return ""
    value = unicodedata.numeric(character, None)
    return character if value is None or character.isascii() else f" {value:g} "


def has_loose_brace(text: str) -> bool:
    """Return whether a brace stands in a sentence that names no number."""
    return bool(re.search(r"[{}]", _PLACE.sub("", text)))


def fill(text: str, say: Say) -> str:
    """Return a sentence with its numbers said; one that names none as it stands."""
    if "{" not in text:
        return text
    filled = _PLACE.sub(lambda match: say(match[1], match[2] or ""), text)
    return filled[:1].upper() + filled[1:] if text.startswith("{") else filled


def said(number: Number, value: Value, form: str = "") -> str:
    """Return a number's value as a nurse says it.

    Parameters
    ----------
    number
        The number, for its unit.
    value
        Its value on the day.
    form
        ``words``: a count in words; ``bare``: without its unit; ``every``: how often,
        as in "every day"; ``one|many``: the noun that a count goes with.

    Examples
    --------
    A number of 7 calendar days is "7 days"; 168 hours are "7 days" too, 24 hours
    "24 hours"; 27w3d is "27 weeks 3 days"; 120 s are "2 minutes".
    """
    if "|" in form:
        one, many = form.split("|", 1)
        return f"{_plain(value)} {one if value == 1 else many}"
    if form == WORDS:
        known = isinstance(value, int) and value < len(_COUNTS_IN_WORDS)
        return _COUNTS_IN_WORDS[value] if known else _plain(value)  # type: ignore[index]
    if form == BARE:
        return _plain(value)
    whole = _whole(number, value)
    if form == EVERY:
        return f"every {whole.removeprefix('1 ')}"
    return whole


def _whole(number: Number, value: Value) -> str:
    if isinstance(value, Elapsed):
        return _elapsed(value.seconds)
    if isinstance(value, CalendarSpan):
        return _calendar(value)
    if number.unit == GESTATION_UNIT:
        weeks, days = divmod(int(value), DAYS_PER_WEEK)
        return _counted(weeks, "week") + (f" {_counted(days, 'day')}" if days else "")
    if number.unit in MM_PER:
        return f"{_plain(round(value / MM_PER[number.unit], 6))} {number.unit}"
    if number.unit == "percent":
        return f"{_plain(value)} %"
    if number.unit == "days":
        return _counted(value, "day")
    return _plain(value) if number.unit == "count" else f"{_plain(value)} {number.unit}"


def _elapsed(seconds: int) -> str:
    for size, unit in _LONG_SPANS:
        is_too_short = unit == "day" and seconds < _DAYS_FROM
        if seconds % size == 0 and not is_too_short and seconds >= size:
            return _counted(seconds // size, unit)
    return _counted(seconds, "second")


def _calendar(span: CalendarSpan) -> str:
    years, months = divmod(span.months, MONTHS_PER_YEAR)
    parts = [
        _counted(count, unit)
        for count, unit in ((years, "year"), (months, "month"), (span.days, "day"))
        if count
    ]
    return " and ".join(parts) or "no time"


def _counted(count: float, unit: str) -> str:
    return f"{_plain(count)} {unit}" + ("" if count == 1 else "s")


def _plain(value: object) -> str:
    if isinstance(value, Elapsed):
        return str(value.seconds)
    if isinstance(value, int | float):
        return f"{whole_or_not(value)}"
    return str(value)
