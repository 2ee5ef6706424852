"""Whether a child is one of a region, read from the region's words alone.

Written apart from the comparison: it knows neither grid nor formula, only the sentence
that a nurse reads.
"""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.model import CalendarSpan, Elapsed, words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.policy import Situation

LISTS = {
    "skin": ("skin_at_site", words.SKIN),
    "site": ("site", words.SITES),
    "line": ("line_kind", words.LINE_KINDS),
    "unit": ("unit", words.UNITS),
    "needle in the port": ("needle_in", {"yes": "yes", "no": "no"}),
    "line in use": ("in_use", {"yes": "yes", "no": "no"}),
    "line tunnelled": ("tunnelled", {"yes": "yes", "no": "no"}),
    "how the line runs": ("patency", words.PATENCY),
}
CALENDAR = r"\d+ (?:calendar months?|years?|days?)"
SPAN = rf"(\d+ × 24 h|\d+ h|\d+ min|{CALENDAR}(?: and {CALENDAR})*)"
JOINT = re.compile(r" and (?=younger|lighter|at most|born|fewer|less|\d+ lumens)")
WEEKS = r"(\d+w\d)d"


def is_in(situation: Situation, who: Iterable[str]) -> bool:
    """Return whether all conditions hold of a child of whom everything is known."""
    return all(_holds(situation, condition) for condition in who)


def _holds(child: Situation, said: str) -> bool:
    if found := re.fullmatch(r"([\w-]+) is (not )?tolerated", said):
        return (found[1] in child.sensitivities) is bool(found[2])
    found = re.fullmatch(r"([\w-]+): (yes|no)", said)
    if found and found[1] in words.FINDINGS:
        return (found[1] in child.findings) is (found[2] == "yes")
    label, colon, group = said.partition(": ")
    if colon:
        return _is_among(child, label, group)
    return all(_limit(child, part) for part in JOINT.split(said))


def _is_among(child: Situation, label: str, group: str) -> bool:
    fact, labels = LISTS[label]
    mine = labels[getattr(child, fact)].lower()
    if group.startswith("not "):
        return mine not in group.removeprefix("not ").split(" nor ")
    return mine in group.split(" or ")


def _limit(child: Situation, part: str) -> bool:
    for pattern, holds in LIMITS.items():
        if found := re.fullmatch(pattern, part):
            return holds(child, found[1])
    raise AssertionError(f"no child is told by {part!r}")


def _span(text: str) -> Elapsed | CalendarSpan:
    for ending, seconds in ((" × 24 h", 86400), (" h", 3600), (" min", 60)):
        if text.endswith(ending):
            return Elapsed(int(text.removesuffix(ending)) * seconds)
    months = days = 0
    for part in text.split(" and "):
        number, unit = int(part.split()[0]), part.split()[1]
        months += number * {"calendar": 1, "year": 12, "years": 12}.get(unit, 0)
        days += number if unit.startswith("day") else 0
    return CalendarSpan(months, days)


def _is_reached(child: Situation, text: str) -> bool:
    return child.at >= _span(text).after(child.born_earliest, child.zone)


def _days(text: str) -> int:
    weeks, days = text.split("w")
    return int(weeks) * 7 + int(days)


def _sum(child: Situation) -> float:
    return child.gestation_low + (child.at - child.born_earliest) / timedelta(days=1)


LIMITS = {
    rf"at least {SPAN} old": _is_reached,
    rf"younger than {SPAN}": lambda c, t: not _is_reached(c, t),
    rf"born at {WEEKS} or later": lambda c, t: c.gestation_low >= _days(t),
    rf"born before {WEEKS}": lambda c, t: c.gestation_low < _days(t),
    rf"born after {WEEKS}": lambda c, t: c.gestation_low > _days(t),
    rf"born at {WEEKS} or earlier": lambda c, t: c.gestation_low <= _days(t),
    r"at least ([\d.]+) g": lambda c, t: c.mass_low >= float(t),
    r"lighter than ([\d.]+) g": lambda c, t: c.mass_low < float(t),
    r"heavier than ([\d.]+) g": lambda c, t: c.mass_low > float(t),
    r"at most ([\d.]+) g": lambda c, t: c.mass_low <= float(t),
    r"(\d+) lumens or more": lambda c, t: c.lumens >= int(t),
    r"fewer than (\d+) lumens": lambda c, t: c.lumens < int(t),
    r"more than (\d+) lumens": lambda c, t: c.lumens > int(t),
    r"(\d+) lumens or fewer": lambda c, t: c.lumens <= int(t),
    rf"at least {WEEKS} of postmenstrual age": lambda c, t: _sum(c) >= _days(t),
    rf"less than {WEEKS} of postmenstrual age": lambda c, t: _sum(c) < _days(t),
    rf"more than {WEEKS} of postmenstrual age": lambda c, t: _sum(c) > _days(t),
    rf"at most {WEEKS} of postmenstrual age": lambda c, t: _sum(c) <= _days(t),
}
