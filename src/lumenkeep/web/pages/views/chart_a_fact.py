"""Chart a fact of the child that a plan asks for: weight, sensitivities, skin, birth."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.model import known_or_none, words
from lumenkeep.services.chart_facts import (
    FACTS,
    NONE_KNOWN,
    SEEN_AT,
    SKIN_STATE,
    WEIGHT,
    chart_fact,
)
from lumenkeep.services.read_birth import BORN, GESTATION
from lumenkeep.web.access import person_signed_in
from lumenkeep.web.pages.charting import FormPage, Sent, answer_form
from lumenkeep.web.pages.desk import desk
from lumenkeep.web.pages.fields import Field, local_minute, pairs
from lumenkeep.web.pages.line_head import find_line
from lumenkeep.web.pages.no_answer import or_say_why
from lumenkeep.web.pages.shapes.entry_words import ENTRY_WORDS

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.line_at_hand import LineAtHand

SENSITIVITIES = "sensitivities"


def _fields(fact: str, found: LineAtHand, now: datetime) -> tuple[Field, ...]:
    seen = Field(
        SEEN_AT,
        "Seen at",
        "instant",
        required=True,
        typed=local_minute(now, found.ward.zone),
    )
    if fact == "weight":
        return Field(WEIGHT, "Weight", "mass", required=True, hint="In grams."), seen
    if fact == SENSITIVITIES:
        choices = (*pairs(words.SENSITIVITIES), (NONE_KNOWN, "Asked: none known"))
        label = "What does the child not tolerate?"
        hint = "Ask the family too."
        return (
            Field(
                SENSITIVITIES,
                label,
                "several",
                required=True,
                hint=hint,
                choices=choices,
                big=True,
            ),
            seen,
        )
    if fact == "skin":
        skin = Field(
            SKIN_STATE,
            "The skin at the site is",
            "choice",
            required=True,
            choices=pairs(words.SKIN),
            big=True,
        )
        return skin, seen
    gestation = known_or_none(found.record.state.case.child.gestation_at_birth)
    return birth_fields(required=True, gestation=str(gestation or ""))


def birth_fields(*, required: bool, gestation: str = "") -> tuple[Field, ...]:
    """Return the fields of a birth; ``gestation`` is filled in where it is known."""
    return (
        Field(
            BORN,
            "Born",
            "line",
            required=required,
            hint="Day and time, as in 2026-11-20 08:00; the day alone where no time is "
            "on record.",
        ),
        Field(
            GESTATION,
            "Gestation at birth",
            "gestation",
            hint="Weeks and days, as in 27w3d; 27w where the days are not on record.",
            typed=gestation,
        ),
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def chart_a_fact(request: HttpRequest, key: str, fact: str) -> HttpResponse:
    """Show the form of a fact, or chart it."""
    if fact not in FACTS:
        raise Http404
    at, person = desk(), person_signed_in(request)
    found = find_line(at, key, person)
    page = FormPage(
        title=ENTRY_WORDS[fact],
        button="Chart it",
        fields=_fields(fact, found, at.clock.now()),
    )

    def write(sent: Sent) -> Sequence[Entry]:
        return chart_fact(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            fact=fact,
            typed=sent.typed,
            chosen=sent.ticked(SENSITIVITIES),
            by=person.key,
            submission=sent.submission,
        )

    return answer_form(request, found, page, write)
