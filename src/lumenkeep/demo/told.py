"""How a child and its lines are told, before they are lived through.

Every ``ago`` counts back from the scenario's present; a plain number is in days.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta


def days(count: float) -> timedelta:
    """Return this many days of 24 hours."""
    return timedelta(days=count)


def hours(count: float) -> timedelta:
    """Return this many hours."""
    return timedelta(hours=count)


@dataclass(frozen=True, slots=True)
class ToldLine:
    """A line: what it is, how long it has been in, and what is special about it.

    Attributes
    ----------
    inserted_ago, removed_ago
        ``removed_ago`` None: it is still in.
    dressing
        Kind that has been used; None: never charted.
    length_mm, moved_mm
        External length; how far it has moved at the last change.
    sets
        Name of each set and what runs through it.
    changed_ago
        When the dressing was last changed; None: as it happens.
    set_ago, needle_ago
        The same for the sets named last, and for the port needle.
    fails
        How many of the last changes came early, because the dressing had failed.
    found
        Finding charted on the present dressing, and how long ago.
    skin
        Skin charted at the last change.
    """

    kind: str
    site: str
    inserted_ago: timedelta
    side: str | None = None
    lumens: int = 1
    removed_ago: timedelta | None = None
    dressing: str | None = "transparent-chg-gel"
    length_mm: float | None = None
    stitches: int = 0
    moved_mm: float = 0
    sets: tuple[tuple[str, str], ...] = ()
    has_needle: bool = False
    changed_ago: timedelta | None = None
    set_ago: timedelta | None = None
    needle_ago: timedelta | None = None
    fails: int = 0
    found: tuple[str, timedelta] | None = None
    skin: str | None = None
    reason_out: str = "no longer needed"


@dataclass(frozen=True, slots=True)
class ToldChild:
    """A child: where it lies, what is known of it, and its lines.

    Attributes
    ----------
    born_at
        Instant of birth (UTC); None: never charted.
    birth_time_known
        Otherwise only the date is charted.
    weight_now_g
        What it weighs at the scenario's present; None: never weighed.
    sensitivities
        None: nobody has asked.
    agent
        Antiseptic used so far.
    story
        Name of what it is here to show; "" for an ordinary child.
    """

    ward: str
    born_at: datetime | None
    weight_now_g: float | None
    lines: tuple[ToldLine, ...]
    gestation: str | None = None
    birth_time_known: bool = True
    sensitivities: tuple[str, ...] | None = ()
    agent: str = "chlorhexidine-alcohol"
    story: str = ""
