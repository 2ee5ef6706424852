"""What kinds of long work there are; the settings name them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KindOfWork:
    """A kind of long work.

    Attributes
    ----------
    module
        Has ``answer(question, say)``, which returns the answer and says on the way how
        far it is (``{"progress": 0 to 1}``) or what it knows already (``{"part": …}``);
        all of it as JSON holds it. It runs in a process of its own, in which Django is
        not set up: whatever it needs from a table must stand in the question.
    lane
        Work of one lane waits for one another in each worker; lanes do not wait. What a
        person at the bedside waits for gets a lane that nothing slow is in.
    patience_s
        After so long without an answer it is ended, against hanging (s).
    """

    module: str
    lane: str
    patience_s: float


def kinds() -> dict[str, KindOfWork]:
    """Return the kinds by name."""
    from django.conf import settings

    found: dict[str, KindOfWork] = settings.LONG_WORK
    return found


def lanes() -> list[str]:
    """Return the lanes, each once."""
    return sorted({kind.lane for kind in kinds().values()})


def kinds_in(lane: str) -> list[str]:
    """Return the names of the kinds of a lane."""
    return [name for name, kind in kinds().items() if kind.lane == lane]
