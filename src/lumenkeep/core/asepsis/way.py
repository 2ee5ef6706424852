"""What to do after one slip, as a plain value."""

from __future__ import annotations

from dataclasses import dataclass

from lumenkeep.core.asepsis.act import Act
from lumenkeep.core.asepsis.procedure import Slip
from lumenkeep.core.asepsis.room import Cost
from lumenkeep.core.asepsis.state import State


@dataclass(frozen=True, slots=True)
class Stands:
    """An earlier step that need not be repeated, and what of it still holds."""

    step: str
    because: str


@dataclass(frozen=True, slots=True)
class WayBack:
    """What to do after one slip at one step.

    Attributes
    ----------
    place, step
        The step at which it happened.
    resumes
        Place of the step that comes next.
    ending
        "way-back", "stop" or "leave".
    acts
        What to do, in order; for "stop" and "leave": say, cover if bare, call.
    cost
        Of a way back.
    lacking
        What is not in the room, with counts, where that is why it stops.
    because
        Why it ends so.
    """

    slip: Slip
    place: int
    step: str
    resumes: int
    ending: str
    acts: tuple[Act, ...]
    cost: Cost
    lacking: tuple[tuple[str, int], ...]
    because: str
    start: State
    ends: State
