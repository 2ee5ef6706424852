"""In which settings something is done: whether others are done in all of them.

Conditions speak of words; whatever word a condition does not name stands for all the
others, so a few settings are enough to know of every one.
"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lumenkeep.core.asepsis.when import When

Words = dict[str, str]
OTHER = ""
"""Any word that no condition names."""
PROCEDURE = "procedure"


def when_of(statement: Any) -> When:
    """Return the conditions of a statement; some kinds have none."""
    found: When = getattr(statement, "when", ())
    return found


def left_over(
    asked: When, done: Iterable[When], fixed: Mapping[str, str]
) -> Words | None:
    """Return a setting in which something was done and now is not; None if there is none.

    Parameters
    ----------
    asked
        When it was done; no rows are always.
    done
        When each of the things is done that stand for it now.
    fixed
        Facts that are known, as the procedure.
    """
    done = list(done)
    if asked in done or () in done:
        return None
    for words in _settings((asked, *done), fixed):
        if _holds(asked, words) and not any(_holds(when, words) for when in done):
            return words
    return None


def together(one: When, other: When, fixed: Mapping[str, str]) -> bool:
    """Return whether two things are done in one and the same setting."""
    return any(
        _holds(one, words) and _holds(other, words)
        for words in _settings((one, other), fixed)
    )


def in_words(words: Mapping[str, str], asked: When) -> str:
    """Return the setting in words, as far as a condition speaks of it."""
    told = {c.fact for row in asked for c in row}
    return ", ".join(
        f"{fact} {word}" for fact, word in words.items() if word and fact in told
    )


def _settings(whens: Iterable[When], fixed: Mapping[str, str]) -> Iterator[Words]:
    named: dict[str, set[str]] = {}
    for when in whens:
        for row in when:
            for one in row:
                named.setdefault(one.fact, set()).update(one.words)
    choices = [
        (fixed[fact],) if fact in fixed else (*sorted(words), OTHER)
        for fact, words in named.items()
    ]
    for chosen in product(*choices):
        yield dict(zip(named, chosen, strict=True))


def _holds(when: When, words: Mapping[str, str]) -> bool:
    return not when or any(
        all((words[one.fact] in one.words) is one.wanted for one in row) for row in when
    )
