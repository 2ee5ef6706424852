"""Which ward a page of rounds is about, and who asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.policy import Policy
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.desk import Desk, desk, ward_named
from lumenkeep.ward.rounds.repository import DjangoRounds
from lumenkeep.ward.site.people import StaffRecord, WardRecord

if TYPE_CHECKING:
    from django.http import HttpRequest


@dataclass(frozen=True, slots=True)
class WardAsked:
    """The ward, its policy, who asks, and where looks are kept."""

    desk: Desk
    book: DjangoRounds
    person: StaffRecord
    wards: Sequence[WardRecord]
    ward: WardRecord
    policy: Policy


def ward_asked(request: HttpRequest, key: str) -> WardAsked:
    """Return what a page is asked for.

    Raises
    ------
    Http404
        There is no such ward.
    PermissionDenied
        It is another's ward.
    """
    at, person = desk(), person_signed_in(request)
    hospital = at.chart.wards()
    ward = ward_named(hospital, key, person)
    return WardAsked(
        at,
        DjangoRounds(at.clock),
        person,
        wards_open_to(person, hospital),
        ward,
        at.policies.in_force(ward.policy_set, ward.key),
    )
