"""What the rounds of a ward came to: kept or not, how sure, and whether two agree."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.ward.chart.pages.desk import show
from lumenkeep.ward.rounds.pages.looks_shown import look_rows
from lumenkeep.ward.rounds.pages.results_shown import rounds_page
from lumenkeep.ward.rounds.pages.ward_asked import ward_asked
from lumenkeep.ward.rounds.results import round_results
from lumenkeep.ward.site.pages.day_asked import days_asked
from lumenkeep.ward.site.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@require_safe
@never_cache
@or_say_why
def results(request: HttpRequest, key: str) -> HttpResponse:
    """Show the results of a ward's rounds; without days, of the last ninety."""
    asked = ward_asked(request, key)
    today = asked.desk.clock.now().astimezone(asked.ward.zone).date()
    first, last, fault = days_asked(request, today)
    found = round_results(asked.book, asked.policy, asked.ward, first, last)
    people = {one.key: one.name for one in asked.desk.staff.people(None)}
    return show(
        request,
        "lumenkeep/rounds/results.html",
        {
            "ward": asked.ward,
            "first": first,
            "last": last,
            "fault": fault,
            "page": rounds_page(found),
            "rows": look_rows(asked.book, found, asked.person, asked.ward.zone, people),
            "is_educator": asked.person.role == "educator",
            "round_href": reverse("round", args=[asked.ward.key]),
        },
        person=asked.person,
        wards=asked.wards,
        here=asked.ward.key,
    )
