"""What every view works with: the chart, the policies, the staff, the clock, and who asks.

Views take these from here, so that a test or another store can put others in place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC
from typing import TYPE_CHECKING, Any

from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse

from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.acting import WardContext
from lumenkeep.ward.chart.store.policies import PoliciesInForce
from lumenkeep.ward.chart.store.repository import (
    ChartRepository,
    StaffRepository,
    SystemClock,
)
from lumenkeep.ward.site.pages.navigation import page_links
from lumenkeep.ward.site.pages.shapes import Link
from lumenkeep.ward.site.people import StaffRecord, WardRecord
from lumenkeep.ward.site.rights import ROLES, may_see_ward

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import tzinfo

    from django.http import HttpRequest, HttpResponse


ALL = "all"


@dataclass(frozen=True, slots=True)
class Asker:
    """Who asks, and the wards that this person may see, in the order shown."""

    person: StaffRecord
    wards: Sequence[WardRecord]

    @classmethod
    def of(cls, person: StaffRecord, hospital: Sequence[WardRecord]) -> Asker:
        """Return a person, with those of the hospital's wards that are open to them."""
        return cls(person, wards_open_to(person, hospital))


def page_context() -> WardContext:
    """Return the adapters of the running application."""
    clock = SystemClock()
    return WardContext(
        ChartRepository(clock), PoliciesInForce(clock), StaffRepository(), clock
    )


def must_see(person: StaffRecord, ward: str) -> None:
    """Refuse a person whose ward it is not.

    Raises
    ------
    PermissionDenied
        It is another's ward.
    """
    if not may_see_ward(person, ward):
        raise PermissionDenied


def ward_named(
    wards: Sequence[WardRecord], key: str, person: StaffRecord
) -> WardRecord:
    """Return the ward that a page is about, of all the hospital's.

    Raises
    ------
    Http404
        There is no such ward.
    PermissionDenied
        It is another's ward.
    """
    ward = next((one for one in wards if one.key == key), None)
    if ward is None:
        raise Http404
    must_see(person, key)
    return ward


def show(
    request: HttpRequest,
    template: str,
    context: Mapping[str, Any],
    asker: Asker,
    *,
    here: str = "",
    status: int = 200,
) -> HttpResponse:
    """Return a page with the row of wards on top.

    Parameters
    ----------
    here
        Key of the ward that the page belongs to, or `ALL`.
    """
    person, wards = asker.person, asker.wards
    links = [
        Link(ward.name, reverse("ward", args=[ward.key]), ward.key == here)
        for ward in wards
    ]
    if len(wards) > 1:
        links.insert(0, Link("All wards", reverse("ward", args=[ALL]), here == ALL))
    role = ROLES.get(person.role, person.role)
    page = request.resolver_match.url_name if request.resolver_match else ""
    top = {
        "wards": links,
        "person": f"{person.name}, {role}",
        "pages": page_links(here, page or ""),
    }
    return render(request, template, {**context, "top": top}, status=status)


def to_own_ward(request: HttpRequest, page: str) -> HttpResponse:
    """Go to a page of one's own ward, else of the first one.

    Raises
    ------
    Http404
        No ward is open to whoever asks.
    """
    person = person_signed_in(request)
    wards = wards_open_to(person, page_context().chart.wards())
    if not wards:
        raise Http404
    return redirect(page, person.ward or wards[0].key)


def zone_of(wards: Sequence[WardRecord], here: str) -> tzinfo:
    """Return the zone of a ward, or the first ward's where all stand together."""
    zones = {ward.key: ward.zone for ward in wards}
    if here in zones:
        return zones[here]
    return wards[0].zone if wards else UTC
