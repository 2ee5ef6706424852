"""A clinical fact is known, or unknown with a reason.

Nothing in Lumenkeep reads a missing fact as "no". A fact that is not known is an
`Unknown`, which says why, so that the question can be asked of somebody.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias, TypeGuard, TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Unknown:
    """A fact nobody has stated, and why.

    Parameters
    ----------
    reason
        Plain words, such as "not given" or "never charted".
    """

    reason: str


NOT_GIVEN = Unknown("not given")
SAID_UNKNOWN = Unknown("given as unknown")
NEVER_CHARTED = Unknown("never charted")

Fact: TypeAlias = T | Unknown
"""A value of type ``T``, or `Unknown` with the reason."""


def is_known(fact: T | Unknown) -> TypeGuard[T]:
    """Return whether the fact has a value."""
    return not isinstance(fact, Unknown)


def known_or_none(fact: T | Unknown) -> T | None:
    """Return the value, or None where it is unknown."""
    return None if isinstance(fact, Unknown) else fact
