"""Wards and staff as the use cases know them, and the clock.

Nothing here knows of a database.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Sequence


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


class Staff(Protocol):
    """The people who may stand at the bedside."""

    def people(self, ward: str | None) -> Sequence[StaffRecord]:
        """Return the staff of one ward and those of no ward; of all wards (None)."""
        ...


class Clock(Protocol):
    """Tells the present instant (UTC)."""

    def now(self) -> datetime:
        """Return the present instant."""
        ...
