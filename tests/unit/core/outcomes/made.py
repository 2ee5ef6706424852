"""Timelines made by hospital days, for the tests of the determination."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.core.outcomes.timeline import (
    Moment,
    Specimen,
    Timeline,
    TrackedLine,
    WardStay,
)

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.derivation import Event

PROTOCOL = protocol_year("2025")
FIRST = date(2025, 3, 10)


def day(number: int) -> date:
    """Return hospital day ``number``; there is no day 0."""
    return FIRST + timedelta(days=number - 1 if number > 0 else number)


def at(number: int) -> Moment:
    """Return a hospital day as a moment."""
    return Moment(day(number))


def blood(name: str, on: int, *grown: str, draw: str | None = "a") -> Specimen:
    """Return a blood culture."""
    return Specimen(name, at(on), "blood", draw, "culture", grown)


def line(first: int = 1, last: int | None = None, **more: Any) -> TrackedLine:
    """Return a PICC, accessed on the day it was placed."""
    given = TrackedLine(
        "line-1",
        "picc",
        "great-vessel",
        at(first),
        at(first),
        access_is_told=True,
        removed=at(last) if last else None,
    )
    return replace(given, **more)


def child(*specimens: Specimen, **more: Any) -> Timeline:
    """Return a six-year-old on one ward with one line, and what is given."""
    given: dict[str, Any] = {
        "born": day(1) - timedelta(days=6 * 365),
        "stays": (WardStay("ward", True, at(1), None),),
        "lines": (line(),),
    }
    return Timeline("2025", specimens=specimens, **(given | more))


def only(timeline: Timeline) -> Event:
    """Return the one event of a timeline."""
    [event] = determine(timeline, PROTOCOL)
    return event


def types(timeline: Timeline) -> list[str]:
    """Return the types of all events."""
    return [event.type for event in determine(timeline, PROTOCOL)]


def said(event: Event) -> str:
    """Return all steps of an event as they are shown."""
    return "\n".join(step.words for step in event.steps)
