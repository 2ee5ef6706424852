"""The list of policies, a policy as a page, and its decision chart as a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.drawing.decision_svg import decision_svg
from lumenkeep.errors import NoRuleError
from lumenkeep.text.policy.decision_chart import decision_chart
from lumenkeep.text.policy.decision_steps import ChartStep, chart_steps
from lumenkeep.text.policy.policy_reading import PolicyReading, read_policy
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.context import Asker, page_context, show, zone_of
from lumenkeep.ward.policies.reading.sets import SetToRead, Unreadable, sets_to_read
from lumenkeep.ward.site.pages.shapes import Link

if TYPE_CHECKING:
    from django.http import HttpRequest


@dataclass(frozen=True, slots=True)
class ReadingRequest(Asker):
    """Who asks, the wards that are open to them, and the policies to read there."""

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


def asked_of(request: HttpRequest) -> ReadingRequest:
    """Return who asks, and what they may read."""
    at, person = page_context(), person_signed_in(request)
    wards = wards_open_to(person, at.chart.wards())
    return ReadingRequest(person, wards, *sets_to_read(at.policies, wards))


SVG = "image/svg+xml"


@require_safe
@never_cache
def policies(request: HttpRequest) -> HttpResponse:
    """List the policies in use, and the shipped ones that no ward works with."""
    asked = asked_of(request)
    context = {
        "in_use": [one for one in asked.sets if one.wards],
        "unreadable": asked.unreadable,
        "others": [one for one in asked.sets if not one.wards],
    }
    template = "lumenkeep/policy_reading/policies.html"
    return show(request, template, context, asked)


@require_safe
@never_cache
def read(request: HttpRequest, key: str) -> HttpResponse:
    """Show a whole policy in plain sentences; ``day`` asks for another day's numbers."""
    asked = asked_of(request)
    one = asked.set_of(key)
    today = page_context().clock.now().astimezone(zone_of(asked.wards, "")).date()
    day = _day(request.GET.get("day"), today)
    href = reverse("policy-read", args=[key])
    context: dict[str, object] = {
        "key": key,
        "href": href,
        "day": day,
        "is_today": day == today,
        "policy": one.policy,
        "wards_words": one.ward_names,
    }
    try:
        reading = read_policy(one.policy, day)
    except NoRuleError as error:
        context["fault"] = error.fault
    else:
        context |= _page(reading)
    template = "lumenkeep/policy_reading/read.html"
    return show(request, template, context, asked)


@require_safe
@never_cache
def chart(request: HttpRequest, key: str) -> HttpResponse:
    """Send the decision chart alone, as a drawing to keep or to print."""
    asked = asked_of(request)
    one = asked.set_of(key)
    today = page_context().clock.now().astimezone(zone_of(asked.wards, "")).date()
    day = _day(request.GET.get("day"), today)
    try:
        book = one.policy.on(day)
    except NoRuleError as error:
        raise Http404 from error
    return HttpResponse(decision_svg(decision_chart(book)), content_type=SVG)


def _day(text: str | None, today: date) -> date:
    if not text:
        return today
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Http404 from error


def _page(reading: PolicyReading) -> dict[str, object]:
    return {
        "reading": reading,
        "contents": _contents(reading),
        "named": [row for row in reading.numbers if row.is_named],
        "inside": [row for row in reading.numbers if not row.is_named],
        "chart_html": _drawn(reading),
        "steps": _steps(reading),
    }


def _contents(reading: PolicyReading) -> list[Link]:
    chapters = [Link(section.title, f"#{section.key}") for section in reading.sections]
    first = (
        [Link("The decision, as a chart and in steps", "#chart")]
        if reading.chart
        else []
    )
    last = [
        Link(title, f"#{key}")
        for key, title, has_any in (
            ("disputes", "Where published guidance disagrees", reading.disputes),
            ("numbers", "Numbers, and from when they hold", reading.numbers),
            ("sources", "Sources", reading.sources),
        )
        if has_any
    ]
    return [*first, *chapters, *last]


def _drawn(reading: PolicyReading) -> SafeString:
    # Written and escaped in drawing/decision_svg.py.
    return mark_safe(decision_svg(reading.chart) if reading.chart else "")  # noqa: S308


def _steps(reading: PolicyReading) -> tuple[ChartStep, ...]:
    return chart_steps(reading.chart) if reading.chart else ()
