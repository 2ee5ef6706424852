"""Chart a dressing change that has been done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.services.change_form import ASSISTANT, change_form
from lumenkeep.services.chart_change import chart_change
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.pages.change_fields import change_fields
from lumenkeep.web.pages.charting import FormPage, Sent, answer_form
from lumenkeep.web.pages.desk import desk
from lumenkeep.web.pages.fields import filled
from lumenkeep.web.pages.line_head import find_line, must_be_in
from lumenkeep.web.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.model.entry import Entry

LEAD = (
    "Filled in from the plan where it could be. Put right whatever was done otherwise."
)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_a_change(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a change with the plan's values, or chart it."""
    at, person = desk(), person_signed_in(request)
    must_be_in(find_line(at, key, person))
    form = change_form(at.chart, at.policies, at.clock, key)
    now = at.clock.now()
    people = [
        one for one in at.staff.people(form.line.ward.key) if one.key != person.key
    ]
    fields = change_fields(form.line, form.items, people, now)
    page = FormPage(
        title="Chart a change",
        button="Chart this change",
        fields=filled(fields, {**form.values, ASSISTANT: request.GET.get("with", "")}),
        lead=LEAD,
    )

    def write(sent: Sent) -> Sequence[Entry]:
        return chart_change(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            typed=sent.typed,
            by=person.key,
            submission=sent.submission,
        )

    return answer_form(request, form.line, page, write)
