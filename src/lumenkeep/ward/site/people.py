"""Wards and staff as the actions know them, and the clock; rights lie beside, in `rights`.

Nothing here knows of a database.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import Protocol


@dataclass(frozen=True, slots=True)
class WardRecord:
    """A ward: key, name, zone, kind of unit, and the policy set in force there."""

    key: str
    name: str
    zone: tzinfo
    unit: str
    policy_set: str

    def day_of(self, at: datetime) -> date:
        """Return the day of an instant on the ward's calendar."""
        return at.astimezone(self.zone).date()


@dataclass(frozen=True, slots=True)
class StaffRecord:
    """A member of staff; ``name`` is for the screen only.

    ``role`` is one of `rights.ROLES`; ``glove`` a size as in "6.5".
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
