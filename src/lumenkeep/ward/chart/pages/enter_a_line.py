"""Bring a line on to a ward's chart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.enter_line import (
    ASKED_OF_A_NEW_CHILD,
    BED,
    CAME_AT,
    CHILD,
    NAME,
    NEW,
    children_here,
    enter_line,
    questions_of,
)
from lumenkeep.ward.chart.pages.context import page_context, ward_named
from lumenkeep.ward.chart.pages.fields import FieldView, local_minute
from lumenkeep.ward.chart.pages.kind_form import field_of
from lumenkeep.ward.chart.pages.shown_form import (
    FieldGroup,
    WardForm,
    answer_ward_form,
    charted_href,
)
from lumenkeep.ward.chart.store.register import Register
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.site.people import WardRecord
    from lumenkeep.ward.site.sent import Sent


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def enter_a_line(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a line new on the chart, or chart it."""
    at, person = page_context(), person_signed_in(request)
    ward = ward_named(at.chart.wards(), key, person)
    policy = at.policies.in_force(ward.policy_set, ward.key)
    form = WardForm(
        title="A line new on the chart",
        button="Chart this line",
        groups=(
            _whose(at, ward),
            _child(ward, at.clock.now(), policy),
            _line(policy),
        ),
        back=reverse("ward", args=[key]),
        lead="What is not known is left out; the plan asks for it when it matters.",
    )

    def write(sent: Sent) -> str:
        register = Register(ChartRepository(at.clock))
        return charted_href(enter_line(at, register, sent, ward=ward)[-1])

    return answer_ward_form(request, ward, form, write)


def _whose(at: WardContext, ward: WardRecord) -> FieldGroup:
    here = tuple(
        (child, f"Bed {bed}, {name}")
        for child, name, bed in children_here(at.chart, ward.key)
    )
    return FieldGroup(
        "Whose line it is",
        (
            FieldView(
                CHILD,
                "The child",
                "pick",
                required=True,
                choices=((NEW, "A child new on the chart"), *here),
                typed=NEW,
            ),
        ),
    )


def _child(ward: WardRecord, now: datetime, policy: Policy) -> FieldGroup:
    return FieldGroup(
        "The child, where new on the chart",
        (
            FieldView(NAME, "Name on the screens", "line", required=True),
            FieldView(BED, "Bed", "line", required=True),
            FieldView(
                CAME_AT,
                "On this ward since",
                "instant",
                required=True,
                typed=local_minute(now, ward.zone),
            ),
            *(
                field_of(one)
                for kind in ASKED_OF_A_NEW_CHILD
                for one in questions_of(kind, policy)
            ),
        ),
        lead="Leave this as it is for a child that is here already.",
    )


def _line(policy: Policy) -> FieldGroup:
    asked = questions_of("line-inserted", policy)
    return FieldGroup("The line", tuple(field_of(one) for one in asked))
