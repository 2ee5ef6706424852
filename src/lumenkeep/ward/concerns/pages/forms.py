"""The forms of concerns: raise one by hand, hand it on, close it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.core.policy.watch_rules import WHO
from lumenkeep.errors import ChartError
from lumenkeep.text.moments import capital
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.pages.charting import FormPage, Sent, answer_form
from lumenkeep.ward.chart.pages.context import PageContext, page_context
from lumenkeep.ward.chart.pages.fields import FieldView, local_minute, pairs
from lumenkeep.ward.chart.pages.line_head import find_line
from lumenkeep.ward.concerns.actions import (
    NOTE,
    OUTCOME,
    SEEN_AT,
    TO,
    WHAT,
    close_concern,
    concern_at_hand,
    hand_concern_on,
    outcomes_for,
    raise_concern,
)
from lumenkeep.ward.site.pages.no_answer import or_say_why

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.concerns.actions import ConcernAtHand


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

    def write(sent: Sent) -> Sequence[Entry]:
        return raise_concern(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            typed=sent.typed,
            by=person,
            submission=sent.submission,
        )

    return answer_form(request, found, page, write)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def hand_on(request: HttpRequest, key: str, concern: str) -> HttpResponse:
    """Show the form that hands a concern on, or chart it."""
    at, person = page_context(), person_signed_in(request)
    find_line(at, key, person)
    hand = _at_hand(at, key, concern)
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

    def write(sent: Sent) -> Sequence[Entry]:
        return hand_concern_on(
            at.chart,
            at.policies,
            at.staff,
            at.clock,
            line=key,
            concern=concern,
            typed=sent.typed,
            by=person,
            submission=sent.submission,
        )

    return answer_form(request, hand.line, page, write)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def close(request: HttpRequest, key: str, concern: str) -> HttpResponse:
    """Show the form that closes a concern, or chart it."""
    at, person = page_context(), person_signed_in(request)
    find_line(at, key, person)
    hand = _at_hand(at, key, concern)
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

    def write(sent: Sent) -> Sequence[Entry]:
        return close_concern(
            at.chart,
            at.policies,
            at.clock,
            line=key,
            concern=concern,
            typed=sent.typed,
            by=person,
            submission=sent.submission,
        )

    return answer_form(request, hand.line, page, write)


def _at_hand(at: PageContext, key: str, concern: str) -> ConcernAtHand:
    try:
        return concern_at_hand(at.chart, at.policies, key, concern, at.clock.now())
    except ChartError as error:
        raise Http404 from error
