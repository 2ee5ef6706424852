"""What surveillance looks at: one child's stays, lines, specimens and signs, by day.

The protocol counts calendar days as the ward's wall clock shows them. A moment is
therefore the day as it was written, and the time of day where it was written too.
``entries`` are the ids of the chart's entries that a thing was read from.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time


@dataclass(frozen=True, slots=True, order=True)
class Moment:
    """A day, and the time of day where it is known; midnight stands for unknown."""

    day: date
    clock: time = time.min
    has_clock: bool = False

    def __str__(self) -> str:
        if not self.has_clock:
            return self.day.isoformat()
        return f"{self.day.isoformat()} {self.clock:%H:%M}"


@dataclass(frozen=True, slots=True)
class WardStay:
    """A time in one place; ``end`` is None while it lasts."""

    location: str
    is_inpatient: bool
    start: Moment
    end: Moment | None
    entries: tuple[str, ...] = ()

    def covers(self, day: date) -> bool:
        """Whether the child was there on any part of ``day``."""
        return self.start.day <= day and (self.end is None or day <= self.end.day)


@dataclass(frozen=True, slots=True)
class TrackedLine:
    """A line as surveillance sees it.

    ``inserted`` is None where it is not known. ``tip`` is "great-vessel", "elsewhere"
    or None (not known). ``first_access`` is None where the line was never accessed;
    ``access_is_told`` says whether that was stated or left out. ``removed`` is None
    while it is in; where ``removal_is_told`` is false, nobody knows whether it is.
    Up to ``unused_until`` it was not accessed in this stay.
    """

    id: str
    kind: str
    tip: str | None
    inserted: Moment | None
    first_access: Moment | None
    access_is_told: bool
    removed: Moment | None
    entries: tuple[str, ...] = ()
    removal_is_told: bool = True
    unused_until: Moment | None = None

    @property
    def arrived(self) -> Moment | None:
        """The earliest moment at which it is known to be in; None where none is."""
        return self.inserted or self.first_access

    def __str__(self) -> str:
        until = f"removed {self.removed}" if self.removed else "still in"
        if not self.removal_is_told:
            until = "removal not known"
        since = f"inserted {self.inserted}" if self.inserted else "insertion not known"
        return f"line {self.id} ({self.kind}): {since}, {until}"


@dataclass(frozen=True, slots=True)
class CircuitDevice:
    """ECMO or a ventricular assist device; ``end`` is None while it is in."""

    kind: str
    start: Moment
    end: Moment | None
    entries: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Specimen:
    """A specimen; no organisms means that nothing grew, where a result is told."""

    id: str
    at: Moment
    source: str
    draw: str | None
    method: str
    organisms: tuple[str, ...]
    entries: tuple[str, ...] = ()
    result_is_told: bool = True


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign; a temperature in degC."""

    at: Moment
    kind: str
    celsius: float | None
    entries: tuple[str, ...] = ()

    def __str__(self) -> str:
        value = "" if self.celsius is None else f" {self.celsius:g} °C"
        return f"{self.kind}{value} on {self.at}"


@dataclass(frozen=True, slots=True)
class CellCount:
    """A neutrophil ("anc") or white cell ("wbc") count per mm3."""

    at: Moment
    kind: str
    per_mm3: float
    entries: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.kind} {self.per_mm3:g}/mm³ on {self.at}"


@dataclass(frozen=True, slots=True)
class GutFinding:
    """Graft-versus-host disease of the gut (grade), or stool (mL in 24 h)."""

    at: Moment
    kind: str
    grade: int | None
    ml_24h: float | None
    mass_kg: float | None
    entries: tuple[str, ...] = ()

    def __str__(self) -> str:
        if self.kind == "gvhd":
            return f"gut graft-versus-host disease of grade {self.grade} on {self.at}"
        return f"stool {self.ml_24h:g} mL in 24 h on {self.at}"


@dataclass(frozen=True, slots=True)
class OtherInfection:
    """An infection elsewhere that fully met its own definition.

    ``window`` and ``blood_is_element`` are None where they are not known.
    """

    kind: str
    event_on: date
    window: tuple[date, date] | None
    organisms: tuple[str, ...]
    blood_is_element: bool | None
    entries: tuple[str, ...] = ()
    organisms_are_told: bool = True

    def __str__(self) -> str:
        return f"{self.kind} with date of event {self.event_on}"


@dataclass(frozen=True, slots=True)
class Noted:
    """Pus at a vascular site, or self-injection into the line."""

    at: Moment
    kind: str
    vascular_site: str | None
    organisms: tuple[str, ...]
    entries: tuple[str, ...] = ()
    organisms_are_told: bool = True


@dataclass(frozen=True, slots=True)
class Dated:
    """A condition documented, or a transplant done, on a day."""

    kind: str
    on: date
    entries: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SettledName:
    """What a person says an organism is that no list understands.

    ``what`` is "pathogen", "commensal", "not-of-blood" or a name that is understood.
    """

    name: str
    what: str
    entries: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Timeline:
    """One child, from first to last entry; without stays, nobody knows where it lay."""

    protocol: str
    born: date | None = None
    birthweight_g: float | None = None
    conditions: tuple[Dated, ...] = ()
    transplants: tuple[Dated, ...] = ()
    stays: tuple[WardStay, ...] = ()
    lines: tuple[TrackedLine, ...] = ()
    devices: tuple[CircuitDevice, ...] = ()
    specimens: tuple[Specimen, ...] = ()
    signs: tuple[Sign, ...] = ()
    counts: tuple[CellCount, ...] = ()
    gut: tuple[GutFinding, ...] = ()
    other_infections: tuple[OtherInfection, ...] = ()
    noted: tuple[Noted, ...] = ()
    settled: tuple[SettledName, ...] = ()

    @property
    def earliest(self) -> date:
        """The first day told of; the child was born by then."""
        days = [
            *(stay.start.day for stay in self.stays),
            *(line.arrived.day for line in self.lines if line.arrived is not None),
            *(one.on for one in self.transplants),
            *(one.at.day for one in self.specimens),
            *(one.at.day for one in self.signs),
            *(one.at.day for one in self.counts),
            *(one.at.day for one in self.gut),
            *(one.at.day for one in self.noted),
        ]
        return min(days, default=date.max)
