"""Chart what a determination needs, on the page of one of the child's lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.services.chart_for_infection import (
    chart_for_infection,
    specimens_in_words,
)
from lumenkeep.services.infection_facts import RESULT
from lumenkeep.services.infection_questions import FORMS
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.pages.charting import FormPage, Sent, answer_form
from lumenkeep.web.pages.desk import desk
from lumenkeep.web.pages.infections.fields import infection_fields
from lumenkeep.web.pages.line_head import find_line
from lumenkeep.web.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.model.entry import Entry

NO_SPECIMEN = "No specimen of this child is charted yet: chart the specimen first."
USUAL = {"method": "culture", "result": "pending", "source": "blood"}


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_infection(request: HttpRequest, key: str, kind: str) -> HttpResponse:
    """Show the form, or chart what was sent."""
    if kind not in FORMS:
        raise Http404
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    zone = found.ward.zone
    specimens = specimens_in_words(at.chart.entries(key), zone)
    values = {"specimen": request.GET.get("specimen", "")}
    if kind == "specimen":
        values |= USUAL
    form = FORMS[kind]
    page = FormPage(
        title=form.title,
        button="Chart it",
        fields=infection_fields(kind, at.clock.now(), zone, specimens, values),
        lead=form.lead if specimens or kind != RESULT else NO_SPECIMEN,
    )

    def write(sent: Sent) -> Sequence[Entry]:
        return chart_for_infection(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            kind=kind,
            typed=sent.typed,
            by=person.key,
            submission=sent.submission,
        )

    return answer_form(request, found, page, write)
