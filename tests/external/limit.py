"""What a document says, as a line of the notes on it, and how a set goes against it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lumenkeep.core.model.times import CalendarSpan, Elapsed

MONTHS_2, YEAR = CalendarSpan(2, 0), CalendarSpan(12, 0)
NEWBORN, WEEK = Elapsed(28 * 24 * 3600), Elapsed(7 * 24 * 3600)


@dataclass(frozen=True, kw_only=True)
class Limit:
    """What a document says, and how to go against it.

    Parameters
    ----------
    base
        The set that requires it.
    fact
        Its line in the notes on the sources.
    source
        The document.
    figures
        Every number of the requirement: of its conditions, then of its claim.
    tried_on
        The set that is weakened; ``base`` unless it says otherwise.
    file, find, put
        The change, in ``tried_on`` or (with its name in front) in ``published``.
    """

    base: str
    fact: str
    source: str
    figures: tuple[Any, ...]
    file: str
    find: str
    put: str
    tried_on: str = ""


US, UK, PUBLISHED = "us-guideline", "uk-guideline", "published"
