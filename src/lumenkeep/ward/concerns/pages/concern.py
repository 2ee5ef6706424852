"""One concern: how pages show it, its own page, and taking it on at one touch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import quote
from uuid import uuid4

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from lumenkeep.core.entries.kinds.of_concern import OUTCOMES
from lumenkeep.core.entries.said import label_of
from lumenkeep.core.policy.watch_rules import WHO
from lumenkeep.core.watch.concerns import CLOSED, HANDED_ON, TAKEN
from lumenkeep.errors import ChartError, StoreError
from lumenkeep.text.moments import capital, moment_in_words, span_in_words
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.pages.context import Asker, page_context, show
from lumenkeep.ward.chart.pages.line_head import find_line, line_head
from lumenkeep.ward.chart.pages.shown_form import sent_by
from lumenkeep.ward.concerns.actions import acknowledge_concern, concern_at_hand
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.pages.shapes import Told
from lumenkeep.ward.site.rights import may_close

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime, tzinfo

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.watch.concerns import Concern, ConcernAct
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.concerns.actions import ConcernAtHand

HOW_WORDS = {
    "memory": ", from memory, to be confirmed",
    "common-practice": "",
}


@dataclass(frozen=True, slots=True)
class ConcernCard:
    """A concern in words.

    Attributes
    ----------
    hold
        That the line must not be used, and until when; empty where it may be.
    state
        Who must act by when, or how it was closed.
    goes_to
        Whom it goes to as well because it is overdue; empty where it is not.
    rests
        Where the rule comes from.
    """

    key: str
    label: str
    says: str
    detail: str
    hold: str
    asks: str
    state: str
    goes_to: str
    proposal: str
    found: str
    because: str
    rests: str
    href: str
    take_href: str
    is_open: bool
    is_overdue: bool
    is_taken: bool
    acts: tuple[Told, ...]

    @property
    def mark(self) -> str:
        """Name of the style it has: overdue, held, open or closed."""
        if not self.is_open:
            return "is-closed"
        if self.is_overdue:
            return "is-overdue"
        return "is-held" if self.hold else "is-open"


def concern_card(
    concern: Concern, line: str, now: datetime, zone: tzinfo, names: Mapping[str, str]
) -> ConcernCard:
    """Return a concern in words.

    Parameters
    ----------
    line
        Key of the line it is about.
    names
        Names of staff by key, for the screen.
    """
    duty = concern.found.duty
    key = quote(concern.key, safe=":")
    hold = f"Do not use the line until {duty.hold}." if concern.is_held else ""
    goes_to = ""
    if concern.is_overdue:
        late = span_in_words(now - concern.by)
        goes_to = f"Overdue {late}: it goes to {who_words(duty.then, names)} too."
    rests = duty.source + HOW_WORDS.get(duty.how, "") if duty.source else ""
    return ConcernCard(
        key=concern.key,
        label=concern.label,
        says=concern.says,
        detail=concern.found.detail,
        hold=hold,
        asks=duty.asks if concern.is_open else "",
        state=state_words(concern, now, zone, names),
        goes_to=goes_to,
        proposal=concern.proposal,
        found=f"Found {moment_in_words(concern.since, now, zone)}",
        because=duty.because,
        rests=rests,
        href=reverse("concern", args=[line, key]),
        take_href=reverse("concern-take", args=[line, key]),
        is_open=concern.is_open,
        is_overdue=concern.is_overdue,
        is_taken=concern.state == TAKEN,
        acts=tuple(_act_row(act, now, zone, names) for act in concern.acts),
    )


def who_words(who: str, names: Mapping[str, str]) -> str:
    """Return a role or a person in words."""
    return WHO.get(who) or names.get(who, who)


def state_words(
    concern: Concern, now: datetime, zone: tzinfo, names: Mapping[str, str]
) -> str:
    """Return who must act by when, or how it was closed."""
    by = moment_in_words(concern.by, now, zone)
    who = who_words(concern.who, names)
    if concern.state == CLOSED and concern.closing is not None:
        at = moment_in_words(concern.closing.at, now, zone)
        outcome = OUTCOMES.get(concern.closing.outcome, concern.closing.outcome)
        by_whom = names.get(concern.closing.by, concern.closing.by)
        return f"Closed {at} by {by_whom}: {outcome[:1].lower()}{outcome[1:]}"
    if concern.state == TAKEN:
        return f"{capital(who)} has taken it on, to settle it by {by}"
    if concern.state == HANDED_ON:
        return f"Handed on: {who} takes it on by {by}"
    return f"{capital(who)} takes it on by {by}"


def _act_row(
    act: ConcernAct, now: datetime, zone: tzinfo, names: Mapping[str, str]
) -> Told:
    by = names.get(act.by, act.by)
    if act.kind == TAKEN:
        what = f"{by} took it on"
    elif act.kind == HANDED_ON:
        what = f"{by} handed it on to {who_words(act.to, names)}"
    else:
        outcome = OUTCOMES.get(act.outcome, act.outcome)
        what = f"{by} closed it: {outcome[:1].lower()}{outcome[1:]}"
    return Told(moment_in_words(act.at, now, zone), what, note=act.note)


def find_concern(at: WardContext, line: str, key: str) -> ConcernAtHand:
    """Return the concern a page is about.

    Raises
    ------
    Http404
        The line has no such concern.
    """
    try:
        return concern_at_hand(at, line, key)
    except ChartError as error:
        raise Http404 from error


@require_safe
@never_cache
@or_say_why
def concern(request: HttpRequest, key: str, concern: str) -> HttpResponse:
    """Show one concern."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    now, zone = at.clock.now(), found.ward.zone
    hand = find_concern(at, key, concern)
    names = {one.key: one.name for one in at.staff.people(None)}
    card = concern_card(hand.concern, key, now, zone, names)
    shown = set(hand.concern.entries)
    entries = [
        (
            e.id,
            label_of(e.kind),
            moment_in_words(e.happened_at, now, zone),
        )
        for e in at.chart.entries(key)
        if e.id in shown
    ]
    context = {
        "line": line_head(at, found, now),
        "card": card,
        "entries": entries,
        "submission": str(uuid4()),
        "hand_on_href": reverse("concern-hand-on", args=[key, concern]),
        "close_href": reverse("concern-close", args=[key, concern]),
        "may_close": may_close(person, is_held=hand.concern.is_held),
    }
    return show(
        request,
        "lumenkeep/concerns/one.html",
        context,
        Asker.of(person, at.chart.wards()),
        here=found.ward.key,
    )


@require_POST
@never_cache
def take(request: HttpRequest, key: str, concern: str) -> HttpResponse:
    """Take a concern on; what stands in the way is said on its page."""
    at, person = page_context(), person_signed_in(request)
    find_line(at, key, person)
    try:
        acknowledge_concern(at, sent_by(request), line=key, concern=concern)
    except ChartError as error:
        for fault in error.faults:
            messages.error(request, f"{fault.what} Please {fault.mend}.")
        return redirect("line", key)
    except StoreError as error:
        messages.error(request, f"{error.fault.what} Please {error.fault.mend}.")
        return redirect("concern", key, concern)
    messages.success(request, "On the chart: you have taken this concern on.")
    return redirect("concern", key, concern)
