"""One infection: the answer, the days drawn, the rules with evidence, and the decision."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.core.model.chart import standing
from lumenkeep.core.model.place import place
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.pages.context import Asker, page_context, show, zone_of
from lumenkeep.ward.chart.pages.shown_form import OneSheet, answer
from lumenkeep.ward.infections.decide import (
    InfectionAtHand,
    decide_infection,
    infection_at_hand,
)
from lumenkeep.ward.infections.pages.days import draw_days
from lumenkeep.ward.infections.pages.decision import decided_words, decision_fields
from lumenkeep.ward.infections.pages.derivation import derivation_of
from lumenkeep.ward.infections.pages.lists import (
    children,
    hrefs_of,
    must_see_child,
    names_of,
)
from lumenkeep.ward.infections.pages.row import ask_rows
from lumenkeep.ward.infections.pages.table import table_of_days
from lumenkeep.ward.infections.pages.words import (
    STATUS_WORDS,
    Plain,
    day_words,
    kind_words,
    proposal_sentence,
    reason_of,
    sentence_of,
    short_day,
)
from lumenkeep.ward.infections.timeline_of_chart import timeline_of_chart
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.rights import Right, may, may_see_ward

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.infections.infection import Infection
    from lumenkeep.ward.site.people import StaffRecord, WardRecord
    from lumenkeep.ward.site.sent import Sent


@dataclass(frozen=True, slots=True)
class DecisionForm(OneSheet):
    """The form of a decision on the proposal of this digest."""

    digest: str


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@or_say_why
def infection(request: HttpRequest, event: int) -> HttpResponse:
    """Show one infection, or write the decision that was sent."""
    at, person = page_context(), person_signed_in(request)
    wards = at.chart.wards()
    at_hand = _at_hand(wards, event)
    must_see_child(person, at_hand.entries)
    found = at_hand.infection

    def write(sent: Sent) -> str:
        decide_infection(at, sent, children=children(), event=event)
        return reverse("infection", args=[found.event])

    def shown(form: DecisionForm, status: int) -> HttpResponse:
        return _page(request, at, person, at_hand, form, status)

    form = DecisionForm(found.digest, fields=decision_fields(at_hand))
    return answer(request, form, write, shown)


def _at_hand(wards: Sequence[WardRecord], event: int) -> InfectionAtHand:
    try:
        return infection_at_hand(children(), wards, event)
    except ChartError as error:
        raise Http404 from error


def _page(
    request: HttpRequest,
    at: WardContext,
    person: StaffRecord,
    at_hand: InfectionAtHand,
    form: DecisionForm,
    status: int,
) -> HttpResponse:
    found = at_hand.infection
    here = at_hand.ward.key if at_hand.ward else ""
    names = names_of(at_hand.entries, at_hand.wards)
    ward_names = {ward.key: ward.name for ward in at_hand.wards}
    child_name = children().names([found.child]).get(found.child, "")
    where = place(at_hand.entries)
    plain = Plain(names)
    context = {
        "head": {
            "name": child_name,
            "bed": where.bed or "not charted",
            "sentence": sentence_of(found, ward_names),
            "reason": reason_of(found, plain),
            "kind": kind_words(found),
            "status": STATUS_WORDS[found.status],
            "proposed": proposal_sentence(found, ward_names),
        },
        "made": decided_words(found, at_hand, at.staff),
        "ward_name": ward_names.get(here, ""),
        "list_href": reverse("infections", args=[here]) if here else "",
        "may_decide": may(person, Right.DECIDE_INFECTIONS),
        "decision": form,
        "is_open": found.proposed_verdict is None,
        **_way(at_hand, plain, names, person, where.ward),
        **_joined(found),
    }
    return show(
        request,
        "lumenkeep/infections/one.html",
        context,
        Asker.of(person, at_hand.wards),
        here=here,
        status=status,
    )


def _way(
    at_hand: InfectionAtHand,
    plain: Plain,
    names: Mapping[str, str],
    person: StaffRecord,
    ward_now: str | None,
) -> dict[str, Any]:
    """Return the drawing, the table, the derivation and what is asked."""
    found, entries = at_hand.infection, at_hand.entries
    zones = {ward.key: ward.zone for ward in at_hand.wards}
    protocol = protocol_year(found.edition)
    charted = timeline_of_chart(entries, zones, found.edition)
    may_open = may_see_ward(person, ward_now or _last_ward(entries))
    hrefs = hrefs_of(entries) if may_open else {}
    days = draw_days(found, charted, protocol, names)
    return {
        "days": days,
        "span_words": f"{day_words(days.first)} to {day_words(days.last)}",
        "table": table_of_days(
            entries,
            (days.first, days.last),
            found.proposal.event_on,
            charted.timeline,
            protocol,
            zone_of(at_hand.wards, found.lay_on or ""),
            hrefs,
        ),
        "way": derivation_of(
            found.proposal,
            protocol,
            plain,
            hrefs,
            is_open=found.proposed_verdict is None,
        ),
        "asks": ask_rows(found, entries, plain),
        "edition": found.edition,
        "is_other_edition": found.edition != str(found.on.year),
        "year": found.on.year,
    }


def _last_ward(entries: Sequence[Entry]) -> str:
    """Return the ward that still knows a child who has left, as its line's page does."""
    wards = [e.body.get("ward") for e in standing(entries) if e.kind == "stay"]
    return next((str(ward) for ward in reversed(wards) if ward), "")


def _joined(found: Infection) -> dict[str, Any]:
    rows = [
        f"{len(event.specimens)} more blood, {event.organism}" for event in found.joined
    ]
    repeat = found.proposal.repeat
    return {
        "joined": rows,
        "joined_until": short_day(repeat[1]) if repeat else "",
    }
