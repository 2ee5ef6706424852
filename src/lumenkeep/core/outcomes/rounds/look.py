"""What one person saw at one line on a round."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

KEPT = "kept"
NOT_KEPT = "not-kept"
NOT_SEEN = "not-seen"
DOES_NOT_APPLY = "does-not-apply"
ANSWERS = (KEPT, NOT_KEPT, NOT_SEEN, DOES_NOT_APPLY)
OPEN = "open"
"""Of a bundle: nothing seen was amiss, but not everything was seen."""


@dataclass(frozen=True, slots=True)
class LineLook:
    """One line, looked at once.

    Attributes
    ----------
    id
        Of the record that it comes from.
    at
        When (UTC).
    observer
        Key of the person who looked.
    from_unit
        Whether that person belongs to the unit; such observers see less amiss.
    answers
        One of `ANSWERS` for each item that was asked about.
    """

    id: int
    line: str
    ward: str
    at: datetime
    observer: str
    from_unit: bool
    answers: Mapping[str, str]

    def bundle(self, items: tuple[str, ...]) -> str | None:
        """Return whether a bundle was kept, all or none.

        Returns
        -------
        str or None
            `KEPT`, `NOT_KEPT`, or `OPEN` where something was not seen and nothing
            seen was amiss; None where none of the items applies.
        """
        found = {self.answers.get(item, NOT_SEEN) for item in items}
        found.discard(DOES_NOT_APPLY)
        if not found:
            return None
        if NOT_KEPT in found:
            return NOT_KEPT
        return OPEN if NOT_SEEN in found else KEPT
