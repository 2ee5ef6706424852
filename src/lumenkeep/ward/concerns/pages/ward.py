"""A ward's concerns: marks on the ward view, the list, and the list for handover."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.watch.concerns import pressing_first
from lumenkeep.errors import PolicyError
from lumenkeep.text.moments import capital, counted, plain_day_and_time
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.context import (
    ALL,
    Asker,
    must_see,
    page_context,
    show,
)
from lumenkeep.ward.concerns.listing import ListedConcern, ward_concerns
from lumenkeep.ward.concerns.pages.concern import ConcernCard, concern_card, who_words
from lumenkeep.ward.concerns.repository import ConcernRepository
from lumenkeep.ward.site.pages.shapes import Group

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.site.people import StaffRecord, WardRecord

ConcernRow = tuple[ConcernCard, ListedConcern, str]
"""A concern in words, whose line it is about, and the ward where several are listed."""
NOT_JUDGED = "Concerns cannot be judged: the policy gives no answer."
HELD = "do not use"


@dataclass(frozen=True, slots=True)
class ConcernMarks:
    """Marks by line's key, and the sum of them in words; empty where there is none.

    ``held`` are the keys of the lines that must not be used.
    """

    by_line: Mapping[str, str]
    words: str
    held: frozenset[str] = frozenset()


def concern_marks(
    at: WardContext, wards: Iterable[WardRecord], now: datetime
) -> ConcernMarks:
    """Return what to say of the open concerns of these wards at ``now`` (UTC)."""
    source = ConcernRepository()
    by_line: dict[str, list[ListedConcern]] = {}
    overdue = total = 0
    is_judged = True
    for ward in wards:
        try:
            listed = ward_concerns(source, at.policies, ward, now)
        except PolicyError:
            is_judged = False
            continue
        for one in listed:
            by_line.setdefault(one.line, []).append(one)
            overdue += one.concern.is_overdue
            total += 1
    marks = {key: _mark(concerns) for key, concerns in by_line.items()}
    words = ""
    if total:
        words = counted(total, "concern is open", "concerns are open")
        words += f", {overdue} overdue." if overdue else "."
    if not is_judged:
        words = f"{words} {NOT_JUDGED}".strip()
    held = frozenset(
        key
        for key, concerns in by_line.items()
        if any(one.concern.is_held for one in concerns)
    )
    return ConcernMarks(marks, words, held)


def _mark(concerns: list[ListedConcern]) -> str:
    """Return the most pressing concern in a few words, and how many more there are."""
    first = concerns[0].concern
    said = f"Concern: {first.found.short}"
    if any(one.concern.is_held for one in concerns):
        said += f", {HELD}"
    if first.is_overdue:
        said += ", overdue"
    more = len(concerns) - 1
    return said + (f", and {counted(more, 'more', 'more')}" if more else "")


@require_safe
@never_cache
def ward_list(request: HttpRequest, key: str) -> HttpResponse:
    """Show a ward's open concerns."""
    return _shown(request, key, "lumenkeep/concerns/ward.html")


@require_safe
@never_cache
def handover(request: HttpRequest, key: str) -> HttpResponse:
    """Show the same as a list for the handover, to be printed."""
    return _shown(request, key, "lumenkeep/concerns/handover.html")


def _shown(request: HttpRequest, key: str, template: str) -> HttpResponse:
    at, person = page_context(), person_signed_in(request)
    wards = wards_open_to(person, at.chart.wards())
    some = _asked(wards, key, person)
    now = at.clock.now()
    rows, unjudged = _rows(at, some, now, with_ward=len(some) > 1)
    names = {one.key: one.name for one in at.staff.people(None)}
    context = {
        "title": some[0].name if len(some) == 1 else "all wards",
        "ward_href": reverse("ward", args=[key]),
        "list_href": reverse("ward-concerns", args=[key]),
        "handover_href": reverse("ward-handover", args=[key]),
        "groups": _groups(rows, names),
        "sentence": _sentence(rows),
        "unjudged": unjudged,
        "printed_at": plain_day_and_time(now, some[0].zone) if some else "",
        "person": person.name,
    }
    return show(request, template, context, Asker(person, wards), here=key)


def _asked(
    wards: Sequence[WardRecord], key: str, person: StaffRecord
) -> Sequence[WardRecord]:
    if key == ALL:
        return wards
    some = [ward for ward in wards if ward.key == key]
    if not some:
        must_see(person, key)
        raise Http404
    return some


def _rows(
    at: WardContext, wards: Sequence[WardRecord], now: datetime, *, with_ward: bool
) -> tuple[list[ConcernRow], list[str]]:
    """Return the rows, and the wards whose policy gives no answer."""
    source = ConcernRepository()
    names = {one.key: one.name for one in at.staff.people(None)}
    found: list[tuple[Any, ListedConcern, WardRecord, str]] = []
    unjudged = []
    for ward in wards:
        try:
            listed = ward_concerns(source, at.policies, ward, now)
        except PolicyError:
            unjudged.append(ward.name)
            continue
        name = ward.name if with_ward else ""
        found += [(pressing_first(c.concern), c, ward, name) for c in listed]
    found.sort(key=lambda one: one[0])
    rows = [
        (concern_card(one.concern, one.line, now, ward.zone, names), one, name)
        for _, one, ward, name in found
    ]
    return rows, unjudged


def _groups(
    rows: Sequence[ConcernRow], names: Mapping[str, str]
) -> tuple[Group[ConcernRow], ...]:
    """Return the rows by who must act, whoever is the most overdue first."""
    by_who: dict[str, list[ConcernRow]] = {}
    for row in rows:
        by_who.setdefault(row[1].concern.who, []).append(row)
    return tuple(
        Group(capital(who_words(who, names)), some) for who, some in by_who.items()
    )


def _sentence(rows: Sequence[ConcernRow]) -> str:
    if not rows:
        return "No concern is open."
    overdue = sum(card.is_overdue for card, _, _ in rows)
    held = len({one.line for card, one, _ in rows if card.hold})
    parts = [counted(len(rows), "concern is open", "concerns are open")]
    parts.append(f"{overdue} overdue" if overdue else "none overdue")
    said = ", ".join(parts) + "."
    if held:
        said += f" {counted(held, 'line must', 'lines must')} not be used."
    return said
