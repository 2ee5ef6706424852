"""The page of outcomes of a ward and period: the answer, charts, and what lies behind."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.text.moments import plain_day
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.context import (
    Asker,
    page_context,
    show,
    to_own_ward,
    ward_named,
)
from lumenkeep.ward.outcomes.drawings import (
    between_drawing,
    change_drawing,
    funnel_drawing,
    rate_drawing,
    sum_drawing,
    wards_drawing,
)
from lumenkeep.ward.outcomes.outcomes_of import (
    TUESDAY,
    OutcomeSources,
    outcome_sources,
    outcomes_of,
)
from lumenkeep.ward.outcomes.pages.shape import (
    beside_lines,
    days_href,
    hour_words,
    month_lines,
    sampling_lines,
    strata_lines,
)
from lumenkeep.ward.site.pages.days import day_asked, days_asked
from lumenkeep.ward.site.people import WardRecord
from lumenkeep.ward.site.rights import Right, may

if TYPE_CHECKING:
    from typing import Any

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.outcomes.outcomes_of import Outcomes

SUNDAY = 7


@dataclass(frozen=True, slots=True)
class OutcomesRequest(Asker):
    """Who asks, about which ward and days.

    ``known_on`` asks for what had been charted by the end of that day; ``fault`` says
    in words why the days asked for could not be used.
    """

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
        return self.ward.day_of(self.now)

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


def asked(request: HttpRequest, key: str) -> OutcomesRequest:
    """Return what is asked for; without days, the last ninety.

    Raises
    ------
    Http404
        There is no such ward.
    PermissionDenied
        It is another's ward.
    """
    at, person = page_context(), person_signed_in(request)
    hospital = at.chart.wards()
    wards = wards_open_to(person, hospital)
    ward = ward_named(hospital, key, person)
    now = at.clock.now()
    today = ward.day_of(now)
    first, last, fault = days_asked(request, today)
    weekday = request.GET.get("weekday", "")
    return OutcomesRequest(
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


WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday")
HALF_YEAR, YEAR = timedelta(days=181), timedelta(days=364)


@require_safe
def outcomes_home(request: HttpRequest) -> HttpResponse:
    """Go to the outcomes of one's own ward, else of the first one."""
    return to_own_ward(request, "outcomes")


@require_safe
@never_cache
def outcomes(request: HttpRequest, key: str) -> HttpResponse:
    """Show the outcomes of a ward."""
    what = asked(request, key)
    found = outcomes_of(
        what.sources,
        key,
        what.first,
        what.last,
        what.now,
        known_at=what.known_at,
        change_on=what.change_on,
        weekday=what.weekday,
    )
    return show(
        request,
        "lumenkeep/outcomes/outcomes.html",
        _context(what, found),
        what,
        here=key,
    )


def _context(what: OutcomesRequest, found: Outcomes) -> dict[str, Any]:
    key = found.ward.key
    return {
        "asked": what,
        "found": found,
        "span": f"{plain_day(what.first)} to {plain_day(what.last)}",
        "wards_here": [
            (ward.name, f"{reverse('outcomes', args=[ward.key])}?{what.query()}",
             ward.key == key)
            for ward in what.wards
        ],
        "spans": _spans(what),
        "known_words": plain_day(what.known_on) if what.known_on else "",
        "known_then": what.query(known=what.last.isoformat())
        if what.last < what.today
        else "",
        "known_now": what.query(known=""),
        "days_href": days_href(key, what.first, what.last, "", what.known_on),
        "missing_href": days_href(
            key, what.first, what.last, "missing", what.known_on
        ),
        "may_set": may(what.person, Right.SET_BASELINES),
        "months": month_lines(found, what.known_on),
        "ratios": [found.infection_ratio, found.use_ratio],
        "strata": strata_lines(found.strata, found.hour),
        "hour_words": hour_words(found.hour),
        "beside": beside_lines(found.beside) if found.beside else (),
        "sampling": sampling_lines(found.sampling),
        "weekdays": [
            (number, name, number == what.weekday)
            for number, name in enumerate(WEEKDAYS, 1)
        ],
        **_drawings(found),
    }  # fmt: skip


def _drawings(found: Outcomes) -> dict[str, Any]:
    rate = rate_drawing(found.by_period) if found.by_period else None
    funnel = found.funnel
    return {
        "rate_chart": rate,
        "is_rare": found.by_period is not None and found.by_period.is_rare,
        "between_chart": between_drawing(found.between),
        "sum_chart": sum_drawing(found.running, found.unit) if found.running else None,
        "funnel_chart": funnel_drawing(funnel) if funnel else None,
        "wards_chart": wards_drawing(funnel) if funnel else None,
        "change_chart": change_drawing(found.change) if found.change else None,
    }


def _spans(what: OutcomesRequest) -> list[tuple[str, str, bool]]:
    today = what.today
    spans = [
        ("90 days", today - timedelta(days=89)),
        ("Half a year", today - HALF_YEAR),
        ("A year", today - YEAR),
        (f"{today:%Y} so far", today.replace(month=1, day=1)),
    ]
    page = reverse("outcomes", args=[what.ward.key])
    return [
        (
            words,
            f"{page}?from={first}&to={today}",
            (what.first, what.last) == (first, today),
        )
        for words, first in spans
    ]
