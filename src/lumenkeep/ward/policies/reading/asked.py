"""Who asks for a policy, and which policies there are to read on their wards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.http import Http404

from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.desk import desk
from lumenkeep.ward.policies.reading.sets import SetToRead, Unreadable, sets_to_read
from lumenkeep.ward.site.people import StaffRecord, WardRecord

if TYPE_CHECKING:
    from django.http import HttpRequest


@dataclass(frozen=True, slots=True)
class Asked:
    """Who asks, the wards that are open to them, and the policies to read there."""

    person: StaffRecord
    wards: Sequence[WardRecord]
    sets: tuple[SetToRead, ...]
    unreadable: tuple[Unreadable, ...]

    def set_of(self, key: str) -> SetToRead:
        """Return the policy of a name in addresses.

        Raises
        ------
        Http404
            There is none to be read by this person.
        """
        found = next((one for one in self.sets if one.key == key), None)
        if found is None:
            raise Http404
        return found


def asked_of(request: HttpRequest) -> Asked:
    """Return who asks, and what they may read."""
    at, person = desk(), person_signed_in(request)
    wards = wards_open_to(person, at.chart.wards())
    found = sets_to_read(at.policies, wards)
    return Asked(person, wards, found.sets, found.unreadable)
