"""Draws of blood of the second determination, and which of them make a pair.

Written from the published rules alone; see `determination_by_hand`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from tests.fakes.organisms_by_hand import COMMENSALS, is_pathogen, organism, share
from tests.fakes.stays_by_hand import day_of


@dataclass
class Blood:
    """One draw of blood that grew something; its bottles are one specimen (R18)."""

    ids: list[str]
    on: date
    draw: str
    is_culture: bool
    grew: set[str]

    @property
    def has_pathogen(self) -> bool:
        """Whether it is enough alone."""
        return any(map(is_pathogen, self.grew))


def bloods(timeline: dict[str, Any]) -> list[Blood]:
    """Return the usable blood specimens that grew something, in order (R30)."""
    every = [one for one in timeline["specimens"] if one["source"] == "blood"]
    cultured = [day_of(one["at"]) for one in every if one["method"] == "culture"]
    found: list[Blood] = []
    for one in sorted(every, key=lambda one: (one["at"], one["id"])):
        on, is_culture = day_of(one["at"]), one["method"] == "culture"
        is_overruled = any(-2 <= (other - on).days <= 1 for other in cultured)
        if not one["organisms"] or (is_overruled and not is_culture):
            continue
        grew = set(map(organism, one["organisms"]))
        draw = (on, one["draw"], is_culture)
        same = [each for each in found if (each.on, each.draw, each.is_culture) == draw]
        if same:
            same[0].ids.append(one["id"])
            same[0].grew |= grew
        else:
            found.append(Blood([one["id"]], *draw, grew))
    return found


def are_a_pair(one: Blood, other: Blood) -> bool:
    """Whether two specimens are the same commensal on separate occasions (R18)."""
    days = (other.on - one.on).days
    return (
        one.is_culture
        and other.is_culture
        and days in (0, 1)
        and (days == 1 or one.draw != other.draw)
        and share(one.grew & COMMENSALS, other.grew & COMMENSALS)
    )
