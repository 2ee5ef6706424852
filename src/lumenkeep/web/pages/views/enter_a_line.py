"""Bring a line on to a ward's chart."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.model import words
from lumenkeep.services.chart_facts import WEIGHT
from lumenkeep.services.enter_line import (
    BED,
    CAME_AT,
    CHILD,
    DRESSING,
    INSERTED_AT,
    KIND,
    LENGTH,
    LUMENS,
    NAME,
    NEW,
    SIDE,
    SITE,
    STITCHES,
    children_here,
    enter_line,
)
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.chart.register import DjangoRegister
from lumenkeep.web.chart.repository import DjangoChart
from lumenkeep.web.pages.desk import Desk, desk, ward_named
from lumenkeep.web.pages.fields import Field, local_minute, pairs
from lumenkeep.web.pages.views.chart_a_fact import birth_fields
from lumenkeep.web.pages.ward_form import Group, WardForm, answer_ward_form

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.services.ports import WardRecord

SIDE_WORDS = (("left", "Left"), ("right", "Right"))


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def enter_a_line(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a line new on the chart, or chart it."""
    at, person = desk(), person_signed_in(request)
    ward = ward_named(at.chart.wards(), key, person)
    form = WardForm(
        title="A line new on the chart",
        button="Chart this line",
        groups=(_whose(at, ward), _child(ward, at.clock.now()), _line()),
        back=reverse("ward", args=[key]),
        lead="What is not known is left out; the plan asks for it when it matters.",
    )

    def write(typed: Mapping[str, str], submission: str) -> str:
        entries = enter_line(
            DjangoRegister(DjangoChart(at.clock)),
            at.chart,
            at.clock,
            ward=ward,
            typed=typed,
            person=person,
            submission=submission,
        )
        entry = entries[-1]
        charted = urlencode({"charted": entry.id})
        return f"{reverse('line', args=[entry.line])}?{charted}"

    return answer_ward_form(request, ward, form, write)


def _whose(at: Desk, ward: WardRecord) -> Group:
    here = tuple(
        (child, f"Bed {bed}, {name}")
        for child, name, bed in children_here(at.chart, ward.key)
    )
    return Group(
        "Whose line it is",
        (
            Field(
                CHILD,
                "The child",
                "pick",
                required=True,
                choices=((NEW, "A child new on the chart"), *here),
                typed=NEW,
            ),
        ),
    )


def _child(ward: WardRecord, now: datetime) -> Group:
    return Group(
        "The child, where new on the chart",
        (
            Field(NAME, "Name on the screens", "line", required=True),
            Field(BED, "Bed", "line", required=True),
            Field(
                CAME_AT,
                "On this ward since",
                "instant",
                required=True,
                typed=local_minute(now, ward.zone),
            ),
            *birth_fields(required=False),
            Field(WEIGHT, "Weight", "mass", hint="In grams."),
        ),
        lead="Leave this as it is for a child that is here already.",
    )


def _line() -> Group:
    return Group(
        "The line",
        (
            Field(
                KIND,
                "Kind of line",
                "pick",
                required=True,
                choices=pairs(words.LINE_KINDS),
            ),
            Field(SITE, "Where it goes in", "pick", choices=pairs(words.SITES)),
            Field(SIDE, "Side", "choice", choices=SIDE_WORDS),
            Field(LUMENS, "Lumens", "count"),
            Field(INSERTED_AT, "Put in at", "instant", required=True),
            Field(
                LENGTH,
                "Length outside the skin",
                "length",
                hint="The first length is what every later one is compared with.",
            ),
            Field(STITCHES, "Stitches", "count", hint="0 where it is held without."),
            Field(DRESSING, "Dressing put on", "pick", choices=pairs(words.DRESSINGS)),
        ),
    )
