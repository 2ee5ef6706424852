"""Chart a task other than the dressing: connectors, a set, the needle, a look."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.model import words
from lumenkeep.services.chart_task import (
    DONE_AT,
    ENTRY_OF_TASK,
    NOTE,
    SET_KIND,
    SET_NAME,
    STILL_NEEDED,
    chart_task,
)
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.pages.charting import FormPage, Sent, answer_form
from lumenkeep.web.pages.desk import desk
from lumenkeep.web.pages.fields import YES_NO, Field, local_minute, pairs
from lumenkeep.web.pages.line_head import find_line, must_be_in
from lumenkeep.web.pages.no_answer import or_say_why
from lumenkeep.web.pages.shapes.entry_words import ENTRY_WORDS

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, tzinfo

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.model.entry import Entry


def _fields(task: str, now: datetime, zone: tzinfo, set_kind: str) -> tuple[Field, ...]:
    fields = [
        Field(
            DONE_AT, "Done at", "instant", required=True, typed=local_minute(now, zone)
        )
    ]
    if task == "set":
        fields += [
            Field(
                SET_KIND,
                "What runs through it",
                "choice",
                required=True,
                choices=pairs(words.SET_KINDS),
                typed=set_kind if set_kind in words.SET_KINDS else "",
            ),
            Field(
                SET_NAME, "Which set", "line", hint="Where several hang, name this one."
            ),
        ]
    if task == "line-review":
        fields.append(
            Field(
                STILL_NEEDED,
                "Is the line still needed?",
                "choice",
                required=True,
                choices=YES_NO,
            )
        )
    fields.append(Field(NOTE, "Anything to add", "text"))
    return tuple(fields)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_a_task(request: HttpRequest, key: str, task: str) -> HttpResponse:
    """Show the form of a task, or chart it."""
    if task not in ENTRY_OF_TASK:
        raise Http404
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    must_be_in(found)
    set_kind = request.GET.get("runs", "")
    page = FormPage(
        title=ENTRY_WORDS[ENTRY_OF_TASK[task]],
        button="Chart it",
        fields=_fields(task, at.clock.now(), found.ward.zone, set_kind),
    )

    def write(sent: Sent) -> Sequence[Entry]:
        return chart_task(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            task=task,
            typed=sent.typed,
            by=person.key,
            submission=sent.submission,
        )

    return answer_form(request, found, page, write)
