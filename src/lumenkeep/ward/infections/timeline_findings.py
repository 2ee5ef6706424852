"""What was charted of a child beside its blood, as surveillance reads it.

Every key of a body may be absent, which is unknown. What then says nothing that a rule
could use is left out; what a rule may ask for stays, with that fact open.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.timeline import (
    CellCount,
    CircuitDevice,
    Dated,
    GutFinding,
    Moment,
    Noted,
    OtherInfection,
    SettledName,
    Sign,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry

TEMPERATURE, UNNAMED_SITE = "temperature", "other"


def condition(entry: Entry, at: Moment) -> Dated | None:
    """Return a condition documented."""
    kind = entry.body.get("kind")
    return Dated(kind, at.day, (str(entry.id),)) if kind else None


def transplant(entry: Entry, at: Moment) -> Dated | None:
    """Return a transplant."""
    del at
    kind, on = entry.body.get("kind"), entry.body.get("on")
    if not (kind and on):
        return None
    return Dated(kind, date.fromisoformat(on), (str(entry.id),))


def sign(entry: Entry, at: Moment) -> Sign | None:
    """Return a sign; degrees without a kind are a temperature."""
    celsius = entry.body.get("celsius")
    value = None if celsius is None else float(celsius)
    kind = entry.body.get("kind") or (TEMPERATURE if value is not None else None)
    return Sign(at, kind, value, (str(entry.id),)) if kind else None


def count(entry: Entry, at: Moment) -> CellCount | None:
    """Return a count of cells."""
    value = entry.body.get("per_mm3")
    kind = entry.body.get("kind") or "count"
    return (
        None if value is None else CellCount(at, kind, float(value), (str(entry.id),))
    )


def gut(entry: Entry, at: Moment) -> GutFinding | None:
    """Return what is known of the gut."""
    body = entry.body
    kind, grade, volume = body.get("kind"), body.get("grade"), body.get("ml_24h")
    if not kind or (grade is None and volume is None):
        return None
    mass = body.get("mass_kg")
    return GutFinding(at, kind, grade, volume, mass, (str(entry.id),))


def elsewhere(entry: Entry, at: Moment) -> OtherInfection | None:
    """Return an infection elsewhere; without a day nothing can be tied to it."""
    del at
    body = entry.body
    if not body.get("date_of_event"):
        return None
    window = body.get("window")
    return OtherInfection(
        body.get("kind") or UNNAMED_SITE,
        date.fromisoformat(body["date_of_event"]),
        (date.fromisoformat(window[0]), date.fromisoformat(window[1]))
        if window
        else None,
        tuple(body.get("organisms") or ()),
        body.get("blood_is_element"),
        (str(entry.id),),
        organisms_are_told=body.get("organisms") is not None,
    )


def pus(entry: Entry, at: Moment) -> Noted:
    """Return pus at a vascular site."""
    grown = entry.body.get("organisms")
    return Noted(
        at,
        "pus",
        entry.body.get("vascular_site"),
        tuple(grown or ()),
        (str(entry.id),),
        organisms_are_told=grown is not None,
    )


def self_injection(entry: Entry, at: Moment) -> Noted:
    """Return self-injection into the line."""
    return Noted(at, "self-injection", None, (), (str(entry.id),))


def settled(entry: Entry, at: Moment) -> SettledName | None:
    """Return what a person said an organism is."""
    del at
    name = entry.body.get("name")
    what = entry.body.get("known_as") or entry.body.get("is")
    return SettledName(name, what, (str(entry.id),)) if name and what else None


def devices(
    entries: Sequence[Entry], moment: Callable[[datetime], Moment]
) -> tuple[CircuitDevice, ...]:
    """Return each time a device was in; coming out without going in says nothing."""
    found: list[CircuitDevice] = []
    open_at: dict[str, int] = {}
    for entry in entries:
        kind, at = entry.body.get("kind"), moment(entry.happened_at)
        if not kind:
            continue
        place = open_at.get(kind)
        is_out = entry.body.get("doing") == "out"
        if not is_out and place is None:
            open_at[kind] = len(found)
            found.append(CircuitDevice(kind, at, None, (str(entry.id),)))
        elif is_out and place is not None:
            del open_at[kind]
            was = found[place]
            both = (*was.entries, str(entry.id))
            found[place] = CircuitDevice(kind, was.start, at, both)
    return tuple(found)
