"""The forms of concerns: raise one by hand, hand it on, close it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.core.policy.watch_rules import WHO
from lumenkeep.text.moments import capital
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.pages.context import page_context
from lumenkeep.ward.chart.pages.fields import FieldView, local_minute, pairs
from lumenkeep.ward.chart.pages.line_head import find_line
from lumenkeep.ward.chart.pages.shown_form import FormPage, answer_form
from lumenkeep.ward.concerns.actions import (
    NOTE,
    OUTCOME,
    SEEN_AT,
    TO,
    WHAT,
    close_concern,
    hand_concern_on,
    outcomes_for,
    raise_concern,
)
from lumenkeep.ward.concerns.pages.concern import find_concern
from lumenkeep.ward.site.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def raise_by_hand(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a concern in one's own words, or chart it."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    page = FormPage(
        title="Raise a concern",
        button="Raise this concern",
        fields=(
            FieldView(WHAT, "What worries you", "line", required=True,
                  hint="One sentence, as you would say it."),
            FieldView(SEEN_AT, "Seen at", "instant", required=True,
                  typed=local_minute(at.clock.now(), found.ward.zone)),
            FieldView(NOTE, "Anything to add", "text"),
        ),
        lead="It stays on the ward’s list until somebody has closed it.",
    )  # fmt: skip

    return answer_form(
        request, found, page, lambda sent: raise_concern(at, sent, line=key)
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def hand_on(request: HttpRequest, key: str, concern: str) -> HttpResponse:
    """Show the form that hands a concern on, or chart it."""
    at, person = page_context(), person_signed_in(request)
    find_line(at, key, person)
    hand = find_concern(at, key, concern)
    people = tuple(
        (one.key, one.name)
        for one in at.staff.people(hand.line.ward.key)
        if one.key != person.key
    )
    roles = tuple((role, capital(words)) for role, words in WHO.items())
    page = FormPage(
        title=f"Hand on: {hand.concern.label}",
        button="Hand it on",
        fields=(
            FieldView(TO, "To whom", "pick", required=True, choices=(*people, *roles)),
            FieldView(
                NOTE,
                "What they must know",
                "text",
                required=True,
                hint="What was done, what is still to do, what you are waiting for.",
            ),
        ),
        lead=hand.concern.says,
    )

    return answer_form(
        request,
        hand.line,
        page,
        lambda sent: hand_concern_on(at, sent, line=key, concern=concern),
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def close(request: HttpRequest, key: str, concern: str) -> HttpResponse:
    """Show the form that closes a concern, or chart it."""
    at, person = page_context(), person_signed_in(request)
    find_line(at, key, person)
    hand = find_concern(at, key, concern)
    page = FormPage(
        title=f"Close: {hand.concern.label}",
        button="Close this concern",
        fields=(
            FieldView(
                OUTCOME,
                "How it ended",
                "choice",
                required=True,
                choices=pairs(outcomes_for(hand.concern)),
            ),
            FieldView(NOTE, "What was done and seen", "text", required=True),
        ),
        lead=" ".join((hand.concern.says, hand.concern.proposal)).strip(),
    )

    return answer_form(
        request,
        hand.line,
        page,
        lambda sent: close_concern(at, sent, line=key, concern=concern),
    )
