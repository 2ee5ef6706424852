"""Which signs an entry says are there, and which it says are there no more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import Word, Words
from lumenkeep.core.entries.kind import Field
from lumenkeep.core.entries.registry import kind_of
from lumenkeep.core.model.signs import HEALTHY

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.core.entries.kind import Kind
    from lumenkeep.core.model.entry import Entry


@dataclass(frozen=True, slots=True)
class SeenSigns:
    """What one entry says of the site, the line and the child.

    Attributes
    ----------
    there
        Signs that were seen.
    gone
        Signs that are there no more, by an explicit word: skin whole, dry, healthy.
        A sign that is merely not named is in neither.
    is_healthy
        Whether the site was said to be healthy.
    """

    there: frozenset[str] = frozenset()
    gone: frozenset[str] = frozenset()
    is_healthy: bool = False


NOTHING_SEEN = SeenSigns()
ON_THE_DRESSING = "findings"
"""Key of what was found on the dressing that is on, or that came off."""


def signs_in(entry: Entry) -> SeenSigns:
    """Return the signs that an entry speaks of, whatever form it was charted by.

    What is there counts over what is gone, whichever field says so: an entry that
    contradicts itself ends nothing. Only what was found on the old dressing comes
    before the words for the site under it, and may be ended by them.
    """
    kind = kind_of(entry.kind)
    if kind is None:
        return NOTHING_SEEN
    found: set[str] = set()
    seen: set[str] = set()
    gone: set[str] = set()
    by_health: set[str] = set()
    for field in kind.fields:
        for word in _words(field, entry.body) if field.begins or field.ends else ():
            began = found if field.key == ON_THE_DRESSING else seen
            began.update(field.begins.get(word, ()))
            (by_health if word == HEALTHY else gone).update(field.ends.get(word, ()))
    # A site that is healthy and yet bleeds contradicts itself: the bleeding counts.
    is_healthy = bool(by_health) and seen.isdisjoint(by_health)
    if is_healthy:
        gone |= by_health
    there = (found - gone) | seen
    gone -= there
    if not there and not gone:
        return NOTHING_SEEN
    return SeenSigns(frozenset(there), frozenset(gone), is_healthy)


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A word that says a sign is gone, and another of the same body that says it is there.

    Attributes
    ----------
    ends, begins
        The two fields.
    word, other
        What each of them says, as the form shows it.
    """

    ends: Field
    word: str
    begins: Field
    other: str


def contradictions(kind: Kind, body: Mapping[str, Any]) -> Iterator[Contradiction]:
    """Yield what a body says and unsays, one for each word that ends a sign.

    What was found on the old dressing came before what is said of the site under it,
    and contradicts nothing.
    """
    fields = [one for one in kind.fields if one.begins or one.ends]
    for ends in fields:
        for word in _words(ends, body):
            gone = ends.ends.get(word, ())
            other = next(
                (
                    (one, said)
                    for one in fields
                    if one.key != ON_THE_DRESSING
                    for said in _words(one, body)
                    if not set(gone).isdisjoint(one.begins.get(said, ()))
                ),
                None,
            )
            if other is not None:
                one, said = other
                yield Contradiction(ends, _label(ends, word), one, _label(one, said))


def _label(field: Field, word: str) -> str:
    answer = field.answer
    if isinstance(answer, Words) and answer.none and word == answer.none[0]:
        return answer.none[1]
    return answer.words.get(word, word) if isinstance(answer, Word | Words) else word


def _words(field: Field, body: Mapping[str, Any]) -> Iterator[str]:
    """Yield the words of a field; an empty list of signs says the site is healthy."""
    value = body.get(field.key)
    if isinstance(value, bool):
        yield "yes" if value else "no"
    elif isinstance(value, str):
        yield value
    elif isinstance(value, list | tuple):
        if not value and isinstance(field.answer, Words) and field.answer.none:
            yield field.answer.none[0]
        yield from (str(word) for word in value)
