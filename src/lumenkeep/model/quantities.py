"""Typed quantities: gestation and postmenstrual age in days, mass in grams, length.

Each has one unit inside and reads the way people write it. Limits are compared
exactly, so nothing here rounds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

DAYS_PER_WEEK = 7
SECONDS_PER_MINUTE = 60
SECONDS_PER_HOUR = 3600
SECONDS_PER_DAY = 86400
MM_PER_METRE = 1000

_GESTATION = re.compile(r"^\s*(\d{1,2})\s*w\s*(?:(\d)\s*d)?\s*$", re.IGNORECASE)


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


def age_in_words(seconds: float) -> str:
    """Return an elapsed age in the two units a colleague would use.

    Examples
    --------
    >>> age_in_words(6 * 86400 + 2 * 3600), age_in_words(40 * 86400)
    ('6 d 2 h', '5 weeks 5 d')
    """
    if seconds < 0:
        return "not yet born"
    minutes = int(seconds // SECONDS_PER_MINUTE)
    hours, minutes = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    if days == 0:
        return f"{hours} h {minutes} min"
    if days < 14:
        tail = f" {minutes} min" if days >= 6 and hours == 0 and minutes else ""
        return f"{days} d {hours} h{tail}"
    if days < 120:
        weeks, rest = divmod(days, DAYS_PER_WEEK)
        return f"{weeks} weeks {rest} d" if rest else f"{weeks} weeks"
    months = int(days / 30.4375)
    if months < 24:
        return f"{months} months"
    return f"{int(days / 365.25)} years"


def grams_in_words(grams: float) -> str:
    """Return a mass in grams, without a needless decimal."""
    return f"{grams:g} g" if grams < 1_000_000 else f"{grams} g"


def length_in_words(millimetres: float) -> str:
    """Return a length in millimetres."""
    return f"{millimetres:g} mm"
