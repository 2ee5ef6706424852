"""Chart that a child has moved, or that a line is out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.services.enter_line import BED
from lumenkeep.services.may import may_see_ward
from lumenkeep.services.move_child import GONE, MOVED_AT, WARD, move_child
from lumenkeep.services.take_line_out import (
    NOTE,
    OUT_AT,
    REASON,
    REASONS,
    TIP,
    TIPS,
    take_line_out,
)
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.pages.charting import FormPage, Sent, answer_form
from lumenkeep.web.pages.desk import desk
from lumenkeep.web.pages.fields import Field, local_minute, pairs
from lumenkeep.web.pages.line_head import find_line, must_be_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.model.entry import Entry


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def move_a_child(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a move, or chart it."""
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    wards = tuple((ward.key, ward.name) for ward in at.chart.wards())
    page = FormPage(
        title="Chart a move",
        button="Chart this move",
        fields=(
            Field(
                WARD,
                "The child now lies on",
                "choice",
                required=True,
                choices=(*wards, (GONE, "No ward here: gone")),
                typed=found.ward.key,
                big=True,
            ),
            Field(BED, "Bed", "line", hint="Left out where the child is gone."),
            Field(
                MOVED_AT,
                "Moved at",
                "instant",
                required=True,
                typed=local_minute(at.clock.now(), found.ward.zone),
            ),
        ),
        lead="All lines of the child move with it.",
    )

    def write(sent: Sent) -> Sequence[Entry]:
        return move_child(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            typed=sent.typed,
            by=person.key,
            submission=sent.submission,
        )

    def then(entry: Entry) -> str:
        is_gone = entry.body.get("ward") is None
        is_closed = not is_gone and not may_see_ward(person, str(entry.body["ward"]))
        if is_gone or is_closed:
            return reverse("ward", args=[found.ward.key])
        return f"{reverse('line', args=[key])}?charted={entry.id}"

    return answer_form(request, found, page, write, then)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def take_a_line_out(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a line taken out, or chart it."""
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    must_be_in(found)
    page = FormPage(
        title="Chart that the line is out",
        button="Chart that it is out",
        fields=(
            Field(
                OUT_AT,
                "Out at",
                "instant",
                required=True,
                typed=local_minute(at.clock.now(), found.ward.zone),
            ),
            Field(REASON, "Why", "choice", required=True, choices=pairs(REASONS)),
            Field(
                TIP,
                "Is the line whole, tip and all?",
                "choice",
                required=True,
                choices=pairs(TIPS),
                big=True,
            ),
            Field(NOTE, "Anything to add", "text"),
        ),
        lead="For a line that is out already. To take one out, open its guide.",
    )

    def write(sent: Sent) -> Sequence[Entry]:
        return take_line_out(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            typed=sent.typed,
            by=person.key,
            submission=sent.submission,
        )

    return answer_form(request, found, page, write)
