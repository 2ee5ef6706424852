"""What a guide tells at the end, as frozen values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

DONE, STOPPED, LEFT = "done", "stopped", "left"
ENDINGS = (DONE, STOPPED, LEFT)
YES = "yes"


@dataclass(frozen=True, slots=True)
class StepDone:
    """One step, or one act of a way back, as it was done.

    Attributes
    ----------
    began_at
        By the tablet's clock (UTC).
    seconds
        Real seconds.
    early
        Why it was ended before its time; empty where it was not, or nobody said.
    looked
        Answers of the looks that end it, in order.
    """

    id: str
    began_at: datetime
    seconds: float
    early: str
    looked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SlipDone:
    """One slip, the acts done after it, how it ended and the spares it took (count)."""

    slip: str
    step: str
    at: datetime
    way: tuple[str, ...]
    ended: str
    spares: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Account:
    """What one tablet tells of one run.

    Attributes
    ----------
    confirmed
        When each person confirmed it (UTC), by key.
    pauses, clock_jumps
        As the tablet noted them.
    bare_seconds
        How long the site lay bare.
    edits
        Values changed at the review after they were called out, as the tablet noted.
    sent_at
        The tablet's clock when it was sent; None where it does not say.
    do_not_use_known
        Why somebody went on who knew that the line is not to be used; empty where
        nobody had to say.
    """

    tablet: str
    started_at: datetime
    ended_at: datetime
    ending: str
    operator: str
    assistant: str | None
    confirmed: Mapping[str, datetime]
    acknowledged_mark: str
    values: Mapping[str, Any]
    steps: tuple[StepDone, ...]
    slips: tuple[SlipDone, ...]
    pauses: tuple[Mapping[str, Any], ...]
    clock_jumps: tuple[Mapping[str, Any], ...]
    bare_seconds: float
    edits: tuple[Mapping[str, Any], ...]
    remarks: str
    sent_at: datetime | None
    do_not_use_known: str = ""
