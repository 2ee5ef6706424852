"""Wards and staff as the actions know them, who may do what, and the clock.

Nothing here knows of a database.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry


@dataclass(frozen=True, slots=True)
class WardRecord:
    """A ward: key, name, zone, kind of unit, and the policy set in force there."""

    key: str
    name: str
    zone: tzinfo
    unit: str
    policy_set: str


@dataclass(frozen=True, slots=True)
class StaffRecord:
    """A member of staff; ``name`` is for the screen only.

    ``role`` is "educator", "charge-nurse" or "nurse"; ``glove`` a size as in "6.5".
    """

    key: str
    name: str
    role: str
    ward: str | None
    glove: str | None


class Clock(Protocol):
    """Tells the present instant (UTC)."""

    def now(self) -> datetime:
        """Return the present instant."""
        ...


SEES_ALL_WARDS = ("educator",)
CLOSES_HELD = ("educator", "charge-nurse")
CORRECTS_OTHERS = ("educator", "charge-nurse")
DECIDES_INFECTIONS = ("educator",)


def may_see_ward(person: StaffRecord, ward: str) -> bool:
    """Return whether the ward is this person's; an educator's are all."""
    return person.role in SEES_ALL_WARDS or person.ward in (None, ward)


def may_correct(person: StaffRecord, entry: Entry) -> bool:
    """Return whether this person may correct the entry: one's own, or by one's role.

    A decision on an infection is taken back by those who may decide.
    """
    if entry.kind == "infection-decision":
        return may_decide_infections(person)
    return person.role in CORRECTS_OTHERS or entry.by == person.key


def may_decide_infections(person: StaffRecord) -> bool:
    """Return whether this person may confirm or override what is proposed of blood."""
    return person.role in DECIDES_INFECTIONS


def may_close(person: StaffRecord, *, is_held: bool) -> bool:
    """Return whether this person may close a concern.

    While the line must not be used (``is_held``) that takes the charge nurse or the
    educator; otherwise whoever sees the ward.
    """
    return not is_held or person.role in CLOSES_HELD
