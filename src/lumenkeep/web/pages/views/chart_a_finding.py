"""Chart what was found on a dressing: the line may fall due at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.model import words
from lumenkeep.services.chart_finding import (
    FINDINGS_FIELD,
    FOUND_AT,
    NOTE,
    chart_finding,
)
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.pages.charting import FormPage, Sent, answer_form
from lumenkeep.web.pages.desk import desk
from lumenkeep.web.pages.fields import Field, local_minute, pairs
from lumenkeep.web.pages.line_head import find_line, must_be_in
from lumenkeep.web.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, tzinfo

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.model.entry import Entry


def finding_fields(at: datetime, zone: tzinfo) -> tuple[Field, ...]:
    """Return the fields of a finding at an instant (UTC)."""
    return (
        Field(
            FINDINGS_FIELD,
            "The dressing is",
            "several",
            required=True,
            choices=pairs(words.FINDINGS),
            big=True,
        ),
        Field(
            FOUND_AT, "Found at", "instant", required=True, typed=local_minute(at, zone)
        ),
        Field(NOTE, "Anything to add", "text"),
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_a_finding(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a finding, or chart it."""
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    must_be_in(found)
    page = FormPage(
        title="Chart a finding",
        button="Chart this finding",
        fields=finding_fields(at.clock.now(), found.ward.zone),
        lead="Touch everything that holds.",
    )

    def write(sent: Sent) -> Sequence[Entry]:
        return chart_finding(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            findings=sent.ticked(FINDINGS_FIELD),
            typed=sent.typed,
            by=person.key,
            submission=sent.submission,
        )

    return answer_form(request, found, page, write)
