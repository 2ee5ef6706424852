"""Every number of a policy: what it means, its unit, and its value from which day.

A number is looked up by day, so a change that starts next month can be written
today. A `Value` is the number in the unit the engines count in.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from lumenkeep.core.model.quantities import Gestation, weeks_and_days
from lumenkeep.core.model.times import CalendarSpan, Elapsed, Span

MM_PER = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}
ELAPSED_SECONDS_PER = {"s": 1, "min": 60, "h": 3600}
CALENDAR_UNITS = {
    "calendar-days": (1, 0),
    "calendar-months": (0, 1),
    "calendar-years": (0, 12),
}
"""Days and months in one of each."""
GREATEST = 1_000_000
MM_DECIMALS = 6
GESTATION_UNIT = "weeks+days"
PLAIN_UNITS = ("g", "count", "percent", "days", "degC")
UNITS = (
    GESTATION_UNIT,
    *PLAIN_UNITS,
    *MM_PER,
    *ELAPSED_SECONDS_PER,
    *CALENDAR_UNITS,
)

LESS, MORE = "less", "more"
"""On which side of a number its own set, or one that is held to it, is stricter."""

Value = float | int | Span
"""Grams, counts, percent and whole days as they are; lengths in mm; gestation in
days; times as `Elapsed` or `CalendarSpan`."""


@dataclass(frozen=True, slots=True)
class DatedValue:
    """A value, the first day it holds, and where it comes from."""

    start: date
    value: Value
    written: str
    source: str
    how: str | None


@dataclass(frozen=True, slots=True)
class Number:
    """A named number of a policy.

    Parameters
    ----------
    id
        Kebab-case name that rules refer to.
    means
        Plain words.
    unit
        One of `UNITS`.
    values
        Oldest first, each with its own first day.
    where
        File and key, for messages.
    stricter
        "less" or "more": where another value is plainly the stricter one; None where
        that is not plain.
    """

    id: str
    means: str
    unit: str
    values: tuple[DatedValue, ...]
    where: str
    stricter: str | None = None

    def on(self, day: date) -> DatedValue | None:
        """Return the value in force on ``day``; None before the first one starts."""
        found = None
        for value in self.values:
            if value.start <= day:
                found = value
        return found

    def on_or_first(self, day: date) -> DatedValue:
        """Return the value in force on ``day``; before the first starts, the first."""
        return self.on(day) or self.values[0]

    @property
    def family(self) -> str:
        """What kind of thing it measures: time, length, gestation, g, count, percent."""
        return family_of(self.unit)


def family_of(unit: str) -> str:
    """Return the kind of thing a unit measures."""
    if unit in ELAPSED_SECONDS_PER or unit in CALENDAR_UNITS:
        return "time"
    if unit in MM_PER:
        return "length"
    if unit == GESTATION_UNIT:
        return "gestation"
    return unit


def read_value(raw: object, unit: str) -> Value:
    """Return a written value in the unit the engines count in.

    Raises
    ------
    ValueError
        The value does not suit the unit.
    """
    if unit == GESTATION_UNIT:
        return _gestation_days(raw)
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        raise ValueError("not a number")  # noqa: TRY004  one kind for the reader
    if not 0 <= raw < GREATEST:
        raise ValueError("out of range")
    if unit in MM_PER:
        return round(raw * MM_PER[unit], MM_DECIMALS)
    if unit in ELAPSED_SECONDS_PER:
        return Elapsed(_whole(raw * ELAPSED_SECONDS_PER[unit]))
    if unit in CALENDAR_UNITS:
        days, months = CALENDAR_UNITS[unit]
        return CalendarSpan(months * _whole(raw), days * _whole(raw))
    return _whole(raw) if unit == "count" else raw


def _gestation_days(raw: object) -> int:
    if not isinstance(raw, str):
        raise ValueError("not a text")  # noqa: TRY004  one kind for the reader
    gestation = Gestation.read(raw)
    if gestation.days != gestation.until:
        raise ValueError("a limit needs weeks and days")
    return gestation.days


def _whole(value: float) -> int:
    if value != int(value):
        raise ValueError("not a whole number")
    return int(value)


def size_of(value: Value) -> float:
    """Return a value as a plain number; a time in hours, a month by its usual length."""
    if isinstance(value, Elapsed | CalendarSpan):
        return value.nominal_hours()
    return float(value)


def value_in_words(value: Value, unit: str) -> str:
    """Return a value the way a colleague writes it."""
    if isinstance(value, Elapsed | CalendarSpan):
        return str(value)
    if unit == GESTATION_UNIT:
        return weeks_and_days(int(value))
    if unit in MM_PER:
        return f"{value:g} mm"
    return f"{value:g}" if unit == "count" else f"{value:g} {unit}"


def as_span(value: Value) -> Span:
    """Return the value of a number that is a time; reading has checked its unit."""
    assert isinstance(value, Elapsed | CalendarSpan)  # noqa: S101  checked on reading
    return value


def as_seconds(value: Value) -> int:
    """Return the value of a number that is an elapsed time, in seconds."""
    if isinstance(value, Elapsed):
        return value.seconds
    raise TypeError(value)
