"""Who is signed in, as the services know them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import PermissionDenied

from lumenkeep.ward.chart.models import StaffProfile
from lumenkeep.ward.chart.store.rows import staff_records
from lumenkeep.ward.site.rights import may_see_ward

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest

    from lumenkeep.ward.site.people import StaffRecord, WardRecord


def person_signed_in(request: HttpRequest) -> StaffRecord:
    """Return the member of staff who is signed in.

    Raises
    ------
    PermissionDenied
        Nobody is signed in, or the account is nobody's on the wards.
    """
    if not request.user.is_authenticated:
        raise PermissionDenied("nobody is signed in")
    profile = StaffProfile.objects.filter(user_id=request.user.pk).first()
    if profile is None:
        raise PermissionDenied("this account belongs to no member of staff")
    return staff_records([profile])[0]


def wards_open_to(
    person: StaffRecord, wards: Sequence[WardRecord]
) -> Sequence[WardRecord]:
    """Return the wards whose lines this person may see, in the order shown."""
    return [ward for ward in wards if may_see_ward(person, ward.key)]
