"""What line rounds need from outside: a book of looks, which is only ever added to."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.rounds.look import LineLook


@dataclass(frozen=True, slots=True)
class NewLook:
    """A look about to be written.

    Attributes
    ----------
    observed
        Key of the person whose work was watched, if any; never shown to peers.
    policy
        Digest of the policy whose items were asked.
    corrects
        Id of the look that this one puts right, if any.
    by
        Key of the person who wrote it, where that is not the observer.
    """

    ward: str
    line: str
    at: datetime
    observer: str
    from_unit: bool
    answers: Mapping[str, str]
    note: str
    observed: str | None
    policy: str
    corrects: int | None = None
    by: str | None = None


class RoundBook(Protocol):
    """The looks of all rounds."""

    def looks(
        self, wards: Collection[str], start: datetime, end: datetime
    ) -> Sequence[LineLook]:
        """Return the looks that count, from ``start`` up to ``end`` (UTC).

        Those put right by a later one are left out; one query.
        """
        ...

    def look(self, number: int) -> LineLook | None:
        """Return one look, corrected or not; None if there is none of that number."""
        ...

    def add(self, look: NewLook, submission: str) -> LineLook:
        """Write a look; the same form sent twice is written once.

        Raises
        ------
        StoreError
            Nothing was written.
        """
        ...

    def notes(self, numbers: Collection[int]) -> Mapping[int, str]:
        """Return the notes of looks that have one, by number of the look."""
        ...

    def observed(self, numbers: Collection[int]) -> Mapping[int, str]:
        """Return whose work was watched, by number of the look; for educators only."""
        ...
