"""What is written of a line on a round."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime


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
