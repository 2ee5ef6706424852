"""What the rounds of a ward came to: kept or not, how sure, and the looks behind it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.outcomes.rounds.look import NOT_KEPT, NOT_SEEN
from lumenkeep.drawing import Drawing, Share, item_rows
from lumenkeep.text.moments import counted
from lumenkeep.text.shares import per_cent, share_span
from lumenkeep.ward.chart.pages.context import show
from lumenkeep.ward.rounds.pages.walk import ward_asked
from lumenkeep.ward.rounds.record_look import CORRECTS
from lumenkeep.ward.rounds.results import round_results
from lumenkeep.ward.site.pages.days import days_asked
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.rights import Right, may

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import tzinfo

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.outcomes.rounds.keeping import BundleShare, Keeping
    from lumenkeep.core.outcomes.rounds.pairs import ItemAgreement
    from lumenkeep.core.outcomes.statistics.interval import Limits
    from lumenkeep.ward.rounds.repository import RoundRepository
    from lumenkeep.ward.rounds.results import RoundResults
    from lumenkeep.ward.site.people import StaffRecord


@dataclass(frozen=True, slots=True)
class LookShown:
    """One look: when and where from; who looked and who was watched only for some.

    ``observer`` and ``observed`` are empty for those who may not see them.
    """

    number: int
    when: str
    line_href: str
    where_from: str
    not_kept: tuple[str, ...]
    not_seen: tuple[str, ...]
    note: str
    observer: str
    observed: str
    correct_href: str


def look_rows(
    book: RoundRepository,
    found: RoundResults,
    person: StaffRecord,
    zone: tzinfo,
    names: Mapping[str, str],
) -> tuple[LookShown, ...]:
    """Return the looks, the newest first.

    An educator sees who looked and whose work was seen; anybody else only that a look
    is their own.
    """
    sees_all = may(person, Right.SEE_WATCHED)
    numbers = [look.id for look in found.looks]
    watched = book.observed(numbers) if sees_all else {}
    notes = book.notes(numbers) if sees_all else {}
    rows = []
    for look in reversed(found.looks):
        is_own = look.observer == person.key
        href = reverse("round-look", args=[look.line])
        rows.append(
            LookShown(
                look.id,
                f"{look.at.astimezone(zone):%-d %b %Y, %H:%M}",
                reverse("line", args=[look.line]),
                "of the unit" if look.from_unit else "from outside",
                _items(found, look.answers, NOT_KEPT),
                _items(found, look.answers, NOT_SEEN),
                notes.get(look.id, ""),
                names.get(look.observer, "") if sees_all or is_own else "",
                names.get(watched.get(look.id, ""), ""),
                f"{href}?{CORRECTS}={look.id}" if sees_all or is_own else "",
            )
        )
    return tuple(rows)


def _items(
    found: RoundResults, answers: Mapping[str, str], answer: str
) -> tuple[str, ...]:
    return tuple(
        found.labels.get(i, i) for i, said in answers.items() if said == answer
    )


FEW_LINES = 10


@dataclass(frozen=True, slots=True)
class Observers:
    """What observers of one kind saw: a heading, sentences, a drawing."""

    key: str
    title: str
    sentence: str
    bundle: str
    caution: str
    drawing: Drawing


def rounds_page(found: RoundResults) -> dict[str, object]:
    """Return what the page shows: the answer, what was seen, months, agreement."""
    flatters = f"{found.flatters} ({found.flatters_source})" if found.flatters else ""
    return {
        "sentence": _sentence(found),
        "apart": _apart(found),
        "flatters": flatters,
        "observers": [_observers(found, keeping) for keeping in found.keepings],
        "months": [
            (
                f"{month.first:%B %Y}",
                _who(keeping.from_unit),
                keeping.looks,
                _bundle_share(keeping.standing),
                _bundle_share(keeping.whole),
            )
            for month in found.months
            for keeping in month.keepings
        ],
        "pairs_sentence": _pairs_sentence(found),
        "pairs": _pairs(found),
    }


def _sentence(found: RoundResults) -> str:
    if not found.keepings:
        return "Nobody has looked at a line in this time."
    parts = []
    for keeping in found.keepings:
        span = keeping.standing.span
        if span is None:
            parts.append(f"{_who(keeping.from_unit)} saw nothing that applies")
            continue
        parts.append(
            f"{_who(keeping.from_unit)} found everything kept in {share_span(*span)} of "
            f"{counted(keeping.standing.looks, 'look', 'looks')} "
            f"({_limits(keeping.standing.limits)})"
        )
    said = "; ".join(parts)
    return f"{said[:1].upper()}{said[1:]}."


def _who(from_unit: bool) -> str:  # noqa: FBT001  one of two kinds of observer
    return "people of the unit" if from_unit else "people from outside"


def _limits(limits: Limits | None) -> str:
    if limits is None:
        return "no limits"
    low = 0.0 if limits.low is None else limits.low
    high = 1.0 if limits.high is None else limits.high
    return f"95 % limits {share_span(low, high)}"


def _apart(found: RoundResults) -> str:
    if found.apart is None:
        return ""
    low, high = found.apart.limits.low or 0.0, found.apart.limits.high or 0.0
    more = "more" if found.apart.value >= 0 else "less"
    sure = (
        "the limits hold no difference, so chance alone may make it"
        if low <= 0 <= high
        else "chance alone hardly makes that"
    )
    return (
        f"People from outside found {abs(found.apart.value) * 100:.1f} percentage points "
        f"{more} not kept than people of the unit ({low * 100:.1f} to "
        f"{high * 100:.1f}): {sure}. The limits take each answer for one of its own; "
        "those of one line go together, so the truth is less sure."
    )


def _observers(found: RoundResults, keeping: Keeping) -> Observers:
    who = _who(keeping.from_unit)
    key = "unit" if keeping.from_unit else "outside"
    shares = [
        Share(
            found.labels.get(item.item, item.item),
            item.kept,
            item.seen,
            (item.limits.low or 0.0) if item.limits else 0.0,
            1.0
            if item.limits is None or item.limits.high is None
            else item.limits.high,
        )
        for item in keeping.items
    ]
    unseen = sum(item.not_seen for item in keeping.items)
    return Observers(
        key,
        f"Seen by {who}",
        f"{counted(keeping.looks, 'look', 'looks')} at "
        f"{counted(keeping.lines, 'line', 'lines')}; "
        f"{counted(unseen, 'answer was', 'answers were')} “not seen”, which count "
        "neither way.",
        f"All items, all or none: {_bundle_share(keeping.whole)}. Without those that "
        f"only show while somebody works: {_bundle_share(keeping.standing)}.",
        _caution(keeping),
        item_rows(
            f"rounds-{key}",
            f"Kept, by item, as {who} saw it",
            shares,
            measured="looks in which the item was kept",
        ),
    )


def _caution(keeping: Keeping) -> str:
    told = []
    if keeping.lines < FEW_LINES:
        told.append("So few lines say little; the limits show how little.")
    if keeping.looks > keeping.lines + keeping.lines:
        told.append(
            "The same lines were looked at again and again, so the truth is less sure "
            "than the limits say."
        )
    return " ".join(told)


def _bundle_share(bundle: BundleShare) -> str:
    if bundle.span is None:
        return "applied to no line"
    low, high = bundle.span
    if bundle.open:
        return (
            f"kept in {bundle.kept} and not in {bundle.not_kept} of {bundle.looks}; in "
            f"{bundle.open} not everything was seen, so between {per_cent(low)} and "
            f"{per_cent(high)}"
        )
    return (
        f"kept in {bundle.kept} of {bundle.looks}, {per_cent(low)} "
        f"({_limits(bundle.limits)})"
    )


def _pairs_sentence(found: RoundResults) -> str:
    pairs = found.agreement
    if pairs is None:
        return ""
    if not pairs.pairs:
        return (
            "No line was looked at by two people at about the same time, so nothing can "
            "be said of whether two people see the same."
        )
    together = pairs.together.agreement
    if together is None:
        return "Pairs looked at the same lines, but at no item that both saw."
    said = "" if together.kappa is None else f", kappa {together.kappa:.2f}"
    return (
        f"{counted(pairs.pairs, 'pair of looks', 'pairs of looks')}: the two agreed on "
        f"{per_cent(together.observed)} of {counted(pairs.together.pairs, 'answer', 'answers')}"
        f"{said}."
    )


def _pairs(found: RoundResults) -> list[tuple[object, ...]]:
    """Return of each item how well two people agreed: pairs, share, kappa, caution."""
    if found.agreement is None or not found.agreement.pairs:
        return []
    rows = [(found.labels.get(i.item, i.item), i) for i in found.agreement.items]
    return [_pair(label, item) for label, item in rows if item.pairs]


def _pair(label: str, item: ItemAgreement) -> tuple[object, ...]:
    agreement = item.agreement
    if agreement is None:
        return label, item.pairs, "–", "–", ""
    kappa = "none" if agreement.kappa is None else f"{agreement.kappa:.2f}"
    agreed = per_cent(agreement.observed)
    return label, item.pairs, agreed, kappa, agreement.caution or ""


@require_safe
@never_cache
@or_say_why
def results(request: HttpRequest, key: str) -> HttpResponse:
    """Show the results of a ward's rounds; without days, of the last ninety."""
    asked = ward_asked(request, key)
    today = asked.ward.day_of(asked.context.clock.now())
    first, last, fault = days_asked(request, today)
    found = round_results(asked.book, asked.policy, asked.ward, first, last)
    people = {one.key: one.name for one in asked.context.staff.people(None)}
    return show(
        request,
        "lumenkeep/rounds/results.html",
        {
            "ward": asked.ward,
            "first": first,
            "last": last,
            "fault": fault,
            "page": rounds_page(found),
            "rows": look_rows(asked.book, found, asked.person, asked.ward.zone, people),
            "sees_watched": may(asked.person, Right.SEE_WATCHED),
            "round_href": reverse("round", args=[asked.ward.key]),
        },
        asked,
        here=asked.ward.key,
    )
