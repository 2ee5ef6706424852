"""Typed quantities: gestation and postmenstrual age in days, mass in grams, length.

Each has one unit inside and reads the way people write it. Limits are compared
exactly, so nothing here rounds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

DAYS_PER_WEEK = 7
GRAMS_PER_KG = 1000
GRAMS_SAID_UP_TO = 5000
"""A mass below this is said in grams, as at the cot."""
SECONDS_PER_MINUTE = 60
SECONDS_PER_HOUR = 3600
SECONDS_PER_DAY = 86400
MM_PER_METRE = 1000
DAYS_PER_MONTH = 30.4375
DAYS_PER_YEAR = 365.25
HOURS_COUNT_BEFORE = 2
DAYS_COUNT_BEFORE = 2 * DAYS_PER_WEEK
WEEKS_COUNT_BEFORE = 120
MONTHS_COUNT_BEFORE = 2 * 365
"""Up to which age (days) words name hours, days, weeks and months; wording only."""

_GESTATION = re.compile(r"^\s*([0-9]{1,2})\s*w\s*(?:([0-9])\s*d)?\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, order=True)
class Gestation:
    """Completed gestation at birth, from the first to the last day it may mean.

    Parameters
    ----------
    days
        Completed days of gestation (days).
    until
        Last day it may mean (days). The same as ``days``, unless only whole
        weeks are on record: "27w" may be any day from 27w0d to 27w6d.

    Examples
    --------
    >>> str(Gestation.read("27w3d")), Gestation.read("27w3d").days
    ('27w3d', 192)
    >>> str(Gestation.read("27w"))
    '27w'
    """

    days: int
    until: int

    @classmethod
    def read(cls, text: str) -> Gestation:
        """Return the gestation that ``text`` states, as in "27w3d" or "27w".

        Raises
        ------
        ValueError
            The text has another form, or more than six days.
        """
        match = _GESTATION.match(text)
        if match is None:
            raise ValueError(text)
        start = int(match[1]) * DAYS_PER_WEEK
        if match[2] is None:
            return cls(start, start + DAYS_PER_WEEK - 1)
        if int(match[2]) >= DAYS_PER_WEEK:
            raise ValueError(text)
        exact = start + int(match[2])
        return cls(exact, exact)

    @classmethod
    def of(cls, weeks: int, days: int = 0) -> Gestation:
        """Return an exact gestation of completed weeks and days."""
        exact = weeks * DAYS_PER_WEEK + days
        return cls(exact, exact)

    def __str__(self) -> str:
        if self.days != self.until:
            return f"{self.days // DAYS_PER_WEEK}w"
        return weeks_and_days(self.days)


def weeks_and_days(days: int) -> str:
    """Return days as weeks and days, as in "27w3d"."""
    return f"{days // DAYS_PER_WEEK}w{days % DAYS_PER_WEEK}d"


def mass_in_words(grams: float) -> str:
    """Return a mass as it is said at the cot or at the bed.

    Examples
    --------
    >>> mass_in_words(940), mass_in_words(21400)
    ('940 g', '21.4 kg')
    """
    if grams < GRAMS_SAID_UP_TO:
        return f"{grams:g} g"
    return f"{grams / GRAMS_PER_KG:g} kg"


def age_in_words(seconds: float) -> str:
    """Return an elapsed age as a nurse says it.

    Examples
    --------
    >>> age_in_words(6 * 86400 + 2 * 3600), age_in_words(40 * 86400)
    ('6 days', '5 weeks 5 days')
    """
    if seconds < 0:
        return "not yet born"
    days, hours = int(seconds // SECONDS_PER_DAY), int(seconds // SECONDS_PER_HOUR)
    if hours == 0:
        return _counted(int(seconds // SECONDS_PER_MINUTE), "minute")
    if days < HOURS_COUNT_BEFORE:
        return _counted(hours, "hour")
    if days < DAYS_COUNT_BEFORE:
        return _counted(days, "day")
    if days < WEEKS_COUNT_BEFORE:
        weeks, rest = divmod(days, DAYS_PER_WEEK)
        return _counted(weeks, "week") + (f" {_counted(rest, 'day')}" if rest else "")
    if days < MONTHS_COUNT_BEFORE:
        return _counted(int(days / DAYS_PER_MONTH), "month")
    return _counted(int(days / DAYS_PER_YEAR), "year")


def _counted(number: int, unit: str) -> str:
    return f"{number} {unit}" + ("" if number == 1 else "s")


def grams_in_words(grams: float) -> str:
    """Return a mass in grams, without a needless decimal."""
    return f"{whole_or_not(grams)} g"


def whole_or_not(value: float) -> float | int:
    """Return a number without a needless fraction."""
    return int(value) if value == int(value) else value
