"""What a request asks to look back on: who, which ward, which days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.http import Http404

from lumenkeep.errors import InputError
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.desk import desk, must_see
from lumenkeep.ward.look_back import LookBack, look_back
from lumenkeep.ward.look_back.asked import LONGEST
from lumenkeep.ward.look_back.sources import look_back_sources
from lumenkeep.ward.site.pages.day_asked import day_asked
from lumenkeep.ward.site.people import StaffRecord, WardRecord

if TYPE_CHECKING:
    from django.http import HttpRequest

USUAL_DAYS = 90
PRESETS = (30, 90, 365)


@dataclass(frozen=True, slots=True)
class Asking:
    """Who looks back on what; ``fault`` says why the days typed could not be used."""

    person: StaffRecord
    wards: Sequence[WardRecord]
    ward: WardRecord
    now: datetime
    first: date
    last: date
    fault: str

    @property
    def query(self) -> str:
        """The days as the end of an address."""
        days = {"from": self.first.isoformat(), "to": self.last.isoformat()}
        return f"?{urlencode(days)}"

    @property
    def presets(self) -> tuple[tuple[str, str], ...]:
        """Words and address of the usual periods, up to today."""
        today = self.now.astimezone(self.ward.zone).date()
        return tuple(
            (f"Last {days} days", f"?{urlencode({'from': day, 'to': today})}")
            for days in PRESETS
            for day in (today - timedelta(days=days - 1),)
        )


def asking(request: HttpRequest, key: str) -> Asking:
    """Return what is asked; the last ninety days where no days, or bad ones, are told.

    Raises
    ------
    Http404
        There is no such ward.
    PermissionDenied
        The ward is not this person's.
    """
    at, person = desk(), person_signed_in(request)
    wards = wards_open_to(person, at.chart.wards())
    found = next((ward for ward in wards if ward.key == key), None)
    if found is None:
        must_see(person, key)
        raise Http404
    now = at.clock.now()
    today = now.astimezone(found.zone).date()
    usual = today - timedelta(days=USUAL_DAYS - 1), today
    typed = request.GET.get("from", ""), request.GET.get("to", "")
    if not any(typed):
        return Asking(person, wards, found, now, *usual, "")
    first, last = (day_asked(text) for text in typed)
    if first is None or last is None:
        fault = "Those are no two days; here are the last ninety."
        return Asking(person, wards, found, now, *usual, fault)
    if first > last or first > today or last - first > LONGEST:
        fault = (
            "The first day lies after the last, is still to come, or lies more than "
        )
        fault += "ten years before it; here are the last ninety."
        return Asking(person, wards, found, now, *usual, fault)
    return Asking(person, wards, found, now, first, last, "")


def looked_back(asking: Asking) -> LookBack:
    """Return the look-back asked for.

    Raises
    ------
    Http404
        The days cannot be looked back on.
    """
    at = desk()
    sources = look_back_sources(at.chart.wards(), at.clock)
    try:
        return look_back(
            sources, asking.ward.key, asking.first, asking.last, asking.now
        )
    except InputError as error:
        raise Http404 from error
