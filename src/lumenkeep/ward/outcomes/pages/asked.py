"""What a page of outcomes is asked for: ward, days, change of practice, weekday."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.desk import desk, ward_named
from lumenkeep.ward.outcomes.outcomes_of import TUESDAY
from lumenkeep.ward.outcomes.records import OutcomeSources
from lumenkeep.ward.outcomes.sources import outcome_sources
from lumenkeep.ward.site.pages.day_asked import day_asked, days_asked
from lumenkeep.ward.site.people import StaffRecord, WardRecord

if TYPE_CHECKING:
    from django.http import HttpRequest

SUNDAY = 7


@dataclass(frozen=True, slots=True)
class Asked:
    """Who asks, about which ward and days.

    ``known_on`` asks for what had been charted by the end of that day; ``fault`` says
    in words why the days asked for could not be used.
    """

    person: StaffRecord
    wards: Sequence[WardRecord]
    ward: WardRecord
    sources: OutcomeSources
    now: datetime
    first: date
    last: date
    change_on: date | None
    weekday: int
    known_on: date | None = None
    fault: str = ""

    @property
    def known_at(self) -> datetime | None:
        """The end of that day (UTC); None asks for what is known now."""
        if self.known_on is None:
            return None
        following = self.known_on + timedelta(days=1)
        return datetime.combine(following, time.min, self.ward.zone).astimezone(UTC)

    @property
    def today(self) -> date:
        """Today on the ward's calendar."""
        return self.now.astimezone(self.ward.zone).date()

    def query(self, **more: str) -> str:
        """Return the days as a query, with more beside them."""
        known = self.known_on.isoformat() if self.known_on else ""
        told = {
            "from": self.first.isoformat(),
            "to": self.last.isoformat(),
            "known": known,
            **more,
        }
        return urlencode({key: value for key, value in told.items() if value})


def asked(request: HttpRequest, key: str) -> Asked:
    """Return what is asked for; without days, the last ninety.

    Raises
    ------
    Http404
        There is no such ward.
    PermissionDenied
        It is another's ward.
    """
    at, person = desk(), person_signed_in(request)
    hospital = at.chart.wards()
    wards = wards_open_to(person, hospital)
    ward = ward_named(hospital, key, person)
    now = at.clock.now()
    today = now.astimezone(ward.zone).date()
    first, last, fault = days_asked(request, today)
    weekday = request.GET.get("weekday", "")
    return Asked(
        person,
        wards,
        ward,
        outcome_sources(hospital, wards, at.clock),
        now,
        first,
        last,
        day_asked(request.GET.get("change", "")),
        int(weekday) if weekday in map(str, range(1, SUNDAY + 1)) else TUESDAY,
        day_asked(request.GET.get("known", "")),
        fault,
    )
