"""Today's round: the beds, those to visit first on top, and what was seen already."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.outcomes.rounds.look import NOT_KEPT, NOT_SEEN
from lumenkeep.core.policy import Policy
from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.acting import WardContext
from lumenkeep.ward.chart.pages.context import (
    Asker,
    page_context,
    show,
    ward_named,
)
from lumenkeep.ward.chart.records import LineRecord
from lumenkeep.ward.concerns.pages.ward import concern_marks
from lumenkeep.ward.rounds.plan_round import plan_round
from lumenkeep.ward.rounds.repository import RoundRepository
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.people import WardRecord
from lumenkeep.ward.site.rights import may_see_watched

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.outcomes.rounds.look import LineLook
    from lumenkeep.ward.rounds.plan_round import RoundOfDay


@dataclass(frozen=True, slots=True)
class RoundRequest(Asker):
    """The ward, its policy, who asks, and where looks are kept."""

    context: WardContext
    book: RoundRepository
    ward: WardRecord
    policy: Policy


def ward_asked(request: HttpRequest, key: str) -> RoundRequest:
    """Return what a page is asked for.

    Raises
    ------
    Http404
        There is no such ward.
    PermissionDenied
        It is another's ward.
    """
    at, person = page_context(), person_signed_in(request)
    hospital = at.chart.wards()
    ward = ward_named(hospital, key, person)
    return RoundRequest(
        person,
        wards_open_to(person, hospital),
        at,
        RoundRepository(at.clock),
        ward,
        at.policies.in_force(ward.policy_set, ward.key),
    )


@dataclass(frozen=True, slots=True)
class Bed:
    """One line on the walk: where, what, and what was seen there today.

    ``mark`` says in a few words what somebody must act on.
    """

    line: LineRecord
    seen: tuple[str, ...]
    mark: str = ""


@require_safe
@never_cache
@or_say_why
def walk(request: HttpRequest, key: str) -> HttpResponse:
    """Show a ward's round of today; ``seen`` names the line just looked at."""
    asked = ward_asked(request, key)
    now = asked.context.clock.now()
    own_ward = asked.person.ward
    found = plan_round(
        asked.book,
        asked.context.chart,
        asked.policy,
        asked.ward,
        now,
        from_unit=None if own_ward is None else own_ward == asked.ward.key,
    )
    marks = concern_marks(asked.context, [asked.ward], now)
    own = asked.person.key
    looks = [
        look
        for look in found.seen_today
        if may_see_watched(asked.person, look.observer)
    ]
    beds = [
        Bed(
            line,
            tuple(
                _seen(look, asked.ward.zone, own)
                for look in looks
                if look.line == line.key
            ),
            marks.by_line.get(line.key, ""),
        )
        for line in found.lines
    ]
    drawn = len(found.visits.today) if found.visits else 0
    first = [bed for bed in beds[:drawn] if not bed.seen]
    last = request.GET.get("seen", "")
    return show(
        request,
        "lumenkeep/rounds/walk.html",
        {
            "ward": asked.ward,
            "sentence": _sentence(found, len(first)),
            "width": _width(found),
            "first": beds[:drawn],
            "others": sorted(
                beds[drawn:], key=lambda bed: (bed.line.bed_words, bed.line.key)
            ),
            "next": next((bed.line for bed in first if bed.line.key != last), None),
            "just_seen": next((bed.line for bed in beds if bed.line.key == last), None),
            "has_items": bool(asked.policy.round_items),
        },
        asked,
        here=asked.ward.key,
    )


def _sentence(found: RoundOfDay, left: int) -> str:
    if found.visits is None:
        return "The policy of this ward plans no rounds."
    if not found.lines:
        return "No line is in place on this ward."
    if not found.visits.today:
        return "This month has enough looks; any line may still be looked at."
    if not left:
        return "Today’s lines have all been seen."
    return f"{counted(left, 'line', 'lines').capitalize()} to look at today."


def _width(found: RoundOfDay) -> str:
    if found.visits is None or not found.visits.needed:
        return ""
    return (
        f"{counted(found.done_by_unit, 'look', 'looks')} by people of the unit and "
        f"{found.done_from_outside} from outside before today; each of the two needs "
        f"{found.visits.needed} this month for a share within {found.half_width:.0%} "
        "either way. The lines were drawn by lot, those not seen this month first."
    )


def _seen(look: LineLook, zone: tzinfo, own: str) -> str:
    clock = f"{look.at.astimezone(zone):%H:%M}"
    who = "" if look.observer == own else " by somebody else"
    return f"Seen at {clock}{who}: {_amiss(tuple(look.answers.values()))}"


def _amiss(answers: Sequence[str]) -> str:
    missing, unseen = answers.count(NOT_KEPT), answers.count(NOT_SEEN)
    said = (
        f"{counted(missing, 'item', 'items')} not kept"
        if missing
        else "nothing seen amiss"
    )
    return f"{said}, {unseen} not seen." if unseen else f"{said}."
