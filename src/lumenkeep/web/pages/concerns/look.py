"""Chart a close look at the site; what it shows raises concerns at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.model import known_or_none
from lumenkeep.model.signs import (
    CHILD_SIGNS,
    HEALTHY,
    LINE_SIGNS,
    SITE_SIGNS,
    SKIN_SIGNS,
)
from lumenkeep.services.chart_look import (
    GIRTH,
    GRADE,
    LOOKED_AT,
    NOTE,
    SIGNS_FIELD,
    LookForm,
    chart_look,
    look_form,
)
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.pages.change_fields import item_field
from lumenkeep.web.pages.charting import FormPage, Sent, answer_form
from lumenkeep.web.pages.desk import desk
from lumenkeep.web.pages.fields import Field, local_minute, pairs
from lumenkeep.web.pages.line_head import find_line, must_be_in
from lumenkeep.web.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.model.entry import Entry
    from lumenkeep.policy.watch_rules import Scale

HEALTHY_WORDS = "Healthy: nothing of all this"
SKIN, LINE, CHILD = "signs-skin", "signs-line", "signs-child"
SEEN = (SIGNS_FIELD, SKIN, LINE, CHILD)


def _fields(asked: LookForm, now: datetime) -> tuple[Field, ...]:
    is_port = known_or_none(asked.line.record.state.case.line.kind) == "port"
    site = ((HEALTHY, HEALTHY_WORDS), *SITE_SIGNS.items())
    line = [(k, v) for k, v in LINE_SIGNS.items() if is_port or k != "port-trouble"]
    fields = [
        Field(SIGNS_FIELD, "The site", "several", required=True, choices=site),
        Field(SKIN, "The skin around it", "several", choices=pairs(SKIN_SIGNS)),
        Field(LINE, "The line", "several", choices=tuple(line)),
        Field(CHILD, "The child", "several", choices=pairs(CHILD_SIGNS)),
        Field(
            LOOKED_AT,
            "Looked at",
            "instant",
            required=True,
            typed=local_minute(now, asked.line.ward.zone),
        ),
    ]
    fields += [item_field(i, asked.line, now, required=False) for i in asked.items]
    if asked.girth is not None:
        low, high = asked.girth
        hint = "Where the first measurement was taken, in mm."
        fields.append(
            Field(GIRTH, "Around the arm", "length", low=low, high=high, hint=hint)
        )
    fields += [_scale_field(scale) for scale in asked.scales]
    return (*fields, Field(NOTE, "Anything to add", "text"))


def _scale_field(scale: Scale) -> Field:
    grades = "; ".join(f"{one.grade} {one.says}" for one in scale.grades)
    return Field(
        f"{GRADE}{scale.id}",
        scale.label,
        "count",
        hint=f"{grades}. Made for: {scale.population}.",
        low=scale.lowest,
        high=scale.highest,
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def look(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a look, or chart it."""
    at, person = desk(), person_signed_in(request)
    must_be_in(find_line(at, key, person))
    asked = look_form(at.chart, at.policies, at.clock, key)
    page = FormPage(
        title="Look at the site",
        button="Chart this look",
        fields=_fields(asked, at.clock.now()),
        lead="Touch everything that is there.",
    )

    def write(sent: Sent) -> Sequence[Entry]:
        return chart_look(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            signs=[sign for name in SEEN for sign in sent.ticked(name)],
            typed=sent.typed,
            by=person.key,
            submission=sent.submission,
        )

    return answer_form(request, asked.line, page, write)
