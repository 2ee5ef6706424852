"""Understand what people say that a child does not tolerate.

A phrase that holds the name of a known substance bars it, however it is put. One that
is not understood leaves every substance in doubt until somebody has charted whether it
touches this child's skin. Nothing that is said is ever read as leave to use anything.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.allergy_words import ABOUT, DENIALS, FILLING, NONE, UNKNOWN
from lumenkeep.core.model.facts import SAID_UNKNOWN, Fact
from lumenkeep.core.model.reading import closest
from lumenkeep.core.model.substances import NAMES_TO_GUESS, SUBSTANCES

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

EVERY = frozenset(SUBSTANCES)
SEVERITIES = {"mild": "Mild", "moderate": "Moderate", "severe": "Severe"}

_JOINTS = re.compile(
    r"[,;/+&|()\[\]:\n]|\band\b|\bor\b|\bexcept\b|\bapart from\b|\bother than\b|\bbut\b"
)
_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True)
class SaidAllergy:
    """One thing that somebody said a child does not tolerate.

    Parameters
    ----------
    substance
        As it was said.
    what_happened, severity
        In words; one of `SEVERITIES`.
    touches_skin
        Whether it concerns anything that touches this child's skin at a line; None
        until somebody has been asked.
    """

    substance: str
    what_happened: str | None = None
    severity: str | None = None
    touches_skin: bool | None = None


@dataclass(frozen=True, slots=True)
class Heard:
    """What a phrase was understood to say.

    Attributes
    ----------
    bars
        Substances it names.
    doubts
        Substances that may be meant, or not: named after a denial, or nearly named.
    says
        "something", "none" or "unknown".
    is_strange
        Whether some of it was not understood.
    """

    bars: frozenset[str] = frozenset()
    doubts: frozenset[str] = frozenset()
    says: str = "something"
    is_strange: bool = False


@dataclass(frozen=True, slots=True)
class Open:
    """Something said that must be asked about: its words, and what it may concern.

    ``is_strange``: what must be asked is whether it touches the skin at all.
    """

    phrase: str
    about: frozenset[str]
    is_strange: bool


@dataclass(frozen=True, slots=True)
class Allergies:
    """What was said of a child beyond the substances that surely are not tolerated.

    Attributes
    ----------
    told
        Everything said, in order.
    in_doubt
        Substances that may not be tolerated.
    open
        What must be asked.
    """

    told: tuple[SaidAllergy, ...] = ()
    in_doubt: frozenset[str] = frozenset()
    open: tuple[Open, ...] = ()


NOTHING_TOLD = Allergies()


def hear(phrase: str) -> Heard:
    """Return what a phrase was understood to say.

    Examples
    --------
    >>> sorted(hear("reaction to CHG").bars), hear("NKDA").says, hear("n/k").says
    (['chlorhexidine'], 'none', 'unknown')
    >>> sorted(hear("no iodine allergy").doubts), hear("penicillin").is_strange
    (['iodine'], True)
    """
    return _heard(phrase)


@lru_cache(maxsize=1024)
def _heard(phrase: str) -> Heard:
    plain = _plain(phrase)
    tokens = tuple(_WORD.findall(plain))
    names = _named(tokens)
    says = None if names else _without_name(tokens)
    if says is not None:
        return Heard(says=says)
    clauses = [_clause(tuple(_WORD.findall(part))) for part in _JOINTS.split(plain)]
    apart = names.difference(*(c.bars | c.doubts for c in clauses))
    return _together([*clauses, Heard(bars=apart)])


def _plain(phrase: str) -> str:
    """Return a phrase in small letters, without accents and what cannot be seen."""
    return "".join(
        sign
        for sign in unicodedata.normalize("NFKD", phrase).casefold()
        if unicodedata.category(sign) not in ("Mn", "Cf")
    )


def _clause(tokens: tuple[str, ...]) -> Heard:
    near = _nearly(tokens)
    names = _named(tokens)
    if names:
        if DENIALS.intersection(_up_to_first_name(tokens)):
            return Heard(doubts=names | near)
        return Heard(bars=names, doubts=near - names)
    if all(token in FILLING for token in tokens):
        return Heard()
    says = _without_name(tokens)
    if says is not None:
        return Heard(says=says)
    return Heard(doubts=near, is_strange=True)


def _up_to_first_name(tokens: tuple[str, ...]) -> tuple[str, ...]:
    for count in range(len(tokens)):
        if _named(tokens[: count + 1]):
            return tokens[: count + 1]
    return tokens


def _together(clauses: list[Heard]) -> Heard:
    bars = frozenset[str]().union(*(c.bars for c in clauses))
    doubts = frozenset[str]().union(*(c.doubts for c in clauses)) - bars
    is_strange = any(c.is_strange for c in clauses)
    said = {c.says for c in clauses} - {"something"}
    if bars or doubts or is_strange or not said:
        return Heard(bars, doubts, is_strange=is_strange or not (bars or doubts))
    return Heard(says="unknown" if "unknown" in said else "none")


def _without_name(tokens: tuple[str, ...]) -> str | None:
    """Return "none" or "unknown" where the words say just that."""
    left = " ".join(token for token in tokens if token not in ABOUT)
    if not tokens or left in UNKNOWN or " ".join(tokens) in UNKNOWN:
        return "unknown"
    if left in NONE or (left == "no" and len(tokens) > 1):
        return "none"
    return None


def _named(tokens: tuple[str, ...]) -> frozenset[str]:
    """Return the substances that words hold the name of."""
    joined = "".join(tokens)
    return frozenset(
        word
        for word, names in SUBSTANCES.items()
        if any(
            token in names.words or token.startswith(names.stems) for token in tokens
        )
        or any(inside in joined for inside in names.inside)
    )


def _nearly(tokens: tuple[str, ...]) -> frozenset[str]:
    """Return the substances that a word is almost a name of."""
    strange = [t for t in tokens if t not in FILLING and not _named((t,))]
    near = [closest(token, NAMES_TO_GUESS) for token in strange]
    return frozenset[str]().union(*(NAMES_TO_GUESS[n] for n in near if n is not None))


def allergies_of(
    told: Iterable[SaidAllergy],
) -> tuple[Fact[frozenset[str]], Allergies]:
    """Return what a child surely does not tolerate, and what is left to ask.

    Parameters
    ----------
    told
        Everything said, in order; nothing at all means asked, and none.

    Returns
    -------
    tuple
        The substances by their words here, with others that touch the skin or may;
        unknown where only that was said. Then the rest.
    """
    told = tuple(told)
    known: set[str] = set()
    asked: list[Open] = []
    is_unknown = False
    for said in told:
        heard = _heard_whole(said)
        known |= heard.bars
        is_unknown = is_unknown or heard.says == "unknown"
        is_open = heard.is_strange and said.touches_skin is not False
        if is_open and not heard.bars:
            known.add(_slug(said.substance))
        about = EVERY if is_open or heard.says == "unknown" else heard.doubts
        asked.append(Open(said.substance.strip(), about, is_open))
        asked += _named_beside(said)
    if is_unknown and not known and not any(o.about < EVERY and o.about for o in asked):
        return SAID_UNKNOWN, Allergies(told)
    still = tuple(
        Open(o.phrase, o.about - known, o.is_strange)
        for o in asked
        if not o.about <= known
    )
    in_doubt = frozenset[str]().union(*(o.about for o in still))
    return frozenset(known), Allergies(told, in_doubt, still)


def _heard_whole(said: SaidAllergy) -> Heard:
    """Return what was said; "none" beside something that happened is not understood."""
    heard = hear(said.substance)
    is_more = said.what_happened or said.severity or said.touches_skin
    if heard.says == "none" and is_more:
        return Heard(says="unknown")
    return heard


def _named_beside(said: SaidAllergy) -> list[Open]:
    """Return what is to be asked of substances named only in what happened."""
    happened = (said.what_happened or "").strip()
    named = hear(happened).bars if happened else frozenset[str]()
    return [Open(happened, named, is_strange=False)] if named else []


def _slug(phrase: str) -> str:
    return "-".join(phrase.lower().split()).replace("_", "-")


def told_in_body(body: Mapping[str, Any]) -> tuple[SaidAllergy, ...]:
    """Return what an entry of sensitivities says.

    Parameters
    ----------
    body
        ``known``: words or phrases; ``other``: rows of ``substance``,
        ``what_happened``, ``severity`` and ``touches_skin``. Either may be absent.
    """
    rows = body.get("other") or ()
    return (
        *(SaidAllergy(str(word)) for word in body.get("known") or ()),
        *(
            SaidAllergy(
                str(row.get("substance") or ""),
                row.get("what_happened"),
                row.get("severity"),
                row.get("touches_skin"),
            )
            for row in rows
        ),
    )


def sensitivities_of(
    body: Mapping[str, Any],
) -> tuple[Fact[frozenset[str]], Allergies]:
    """Return what an entry of sensitivities comes to; one that says nothing: unknown."""
    if body.get("known") is None and not body.get("other"):
        return SAID_UNKNOWN, NOTHING_TOLD
    return allergies_of(told_in_body(body))


def told_in_words(told: SaidAllergy) -> str:
    """Return one thing a child does not tolerate, with what it did and how severely."""
    touches = {True: "touches the skin here", False: "does not touch the skin here"}
    known = touches.get(told.touches_skin) if told.touches_skin is not None else None
    rest = ", ".join(
        part for part in (told.what_happened, told.severity, known) if part
    )
    return f"“{told.substance}”" + (f" ({rest})" if rest else "")
