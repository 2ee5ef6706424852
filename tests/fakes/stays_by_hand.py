"""Days, admissions, lines and places of the second determination.

Written day by day from the published rules alone; see `determination_by_hand`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

NOT_CENTRAL = {"midline", "peripheral-cannula", "fistula-or-graft", "atrial-line"}
Days = tuple[date, date]


def later(on: date, days: int) -> date:
    """Return the day so many days after; before, where negative."""
    return on + timedelta(days=days)


def day_of(text: str) -> date:
    """Return the calendar day as written."""
    return date.fromisoformat(text[:10])


def is_within(on: date, days: Days) -> bool:
    """Whether a day lies in a span, both ends included."""
    return days[0] <= on <= days[1]


@dataclass
class Admission:
    """Stays in bedded units without a day outside between them (R1)."""

    stays: list[dict[str, Any]]

    @property
    def first(self) -> date:
        """Return hospital day 1."""
        return day_of(self.stays[0]["from"])

    @property
    def last(self) -> date:
        """Return the day of discharge; far off where there is none yet."""
        ends = [one["to"] for one in self.stays]
        return date(2999, 1, 1) if None in ends else max(map(day_of, ends))

    def reaches(self, on: date) -> bool:
        """Whether a day is this admission's: two days before to the day after."""
        return later(self.first, -2) <= on <= later(self.last, 1)


def admissions(timeline: dict[str, Any]) -> list[Admission]:
    """Return the admissions, the first one first."""
    found: list[Admission] = []
    placed = [one for one in timeline["stays"] if one.get("inpatient", True)]
    for stay in sorted(placed, key=lambda one: one["from"]):
        if found and day_of(stay["from"]) <= found[-1].last:
            found[-1].stays.append(stay)
        else:
            found.append(Admission([stay]))
    return found


def admission_on(timeline: dict[str, Any], on: date) -> Admission | None:
    """Return whose day it is: an earlier discharge's next day first (S35)."""
    every = admissions(timeline)
    inside = [one for one in every if one.first <= on <= later(one.last, 1)]
    return next(iter(inside or [one for one in every if one.reaches(on)]), None)


def first_line_day(line: dict[str, Any], stay: Admission) -> date | None:
    """Return the line's day 1 in an admission; None where it never counts (R2-R5)."""
    if line["tip"] != "great-vessel" or line["kind"] in NOT_CENTRAL:
        return None
    is_placed_here = day_of(line["inserted"]) >= stay.first
    if is_placed_here and line["kind"] != "port":
        return day_of(line["inserted"])
    if line["first_access"] is None:
        return None
    return max(day_of(line["first_access"]), stay.first)


def has_line(timeline: dict[str, Any], stay: Admission, on: date) -> bool:
    """Whether a line that counts is in on a day of the admission (R5, R8)."""
    if not stay.first <= on <= stay.last:
        return False
    for line in timeline.get("lines", []):
        first = first_line_day(line, stay)
        removed = line["removed"]
        is_out = removed is not None and day_of(removed) < on
        if first is not None and first <= on and not is_out:
            return True
    return False


def line_day(timeline: dict[str, Any], stay: Admission, on: date) -> int:
    """Return the line-day, 0 where no line counts (R5, R7)."""
    days = 0
    while has_line(timeline, stay, later(on, -days)):
        days += 1
    return days


def device_day(device: dict[str, Any], on: date) -> int:
    """Return which day of a circuit or assist device it is, 0 where it is out."""
    is_out = device["to"] is not None and day_of(device["to"]) < on
    days = (on - day_of(device["from"])).days + 1
    return 0 if is_out or days < 1 else days


def location(stay: Admission, event: date) -> str:
    """Return the first place the child was in on the day before (R25)."""
    for one in stay.stays:
        to = one["to"]
        before = later(event, -1)
        if day_of(one["from"]) <= before and (to is None or day_of(to) >= before):
            return str(one["location"])
    raise AssertionError("a healthcare-associated event has a day before")


def birthday(born: date, years: int) -> date:
    """Return a birthday; 1 March for who was born on a leap day."""
    try:
        return born.replace(year=born.year + years)
    except ValueError:
        return date(born.year + years, 3, 1)
