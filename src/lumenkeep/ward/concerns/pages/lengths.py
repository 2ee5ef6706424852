"""Lengths on pages: one line's drawing, and how exactly a ward measures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.watch.length import NORMAL_95, arm_against
from lumenkeep.core.watch.length_words import day_and_time, short_words
from lumenkeep.drawing.lengths_chart import LengthReading, Lengths, lengths_chart
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.context import ALL, Asker, must_see, page_context, show
from lumenkeep.ward.chart.store.children import ChildRepository
from lumenkeep.ward.concerns.lengths import MeasuredTwice, measured_twice
from lumenkeep.ward.site.pages.shapes import Link

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, tzinfo

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.watch.measuring_error import LengthPair, Spread
    from lumenkeep.drawing.figure import Drawing
    from lumenkeep.ward.concerns.lengths import WatchedLine

TITLE = "Length outside the skin"


def length_drawing(
    lengths: Sequence[tuple[datetime, float]], watched: WatchedLine, zone: tzinfo
) -> Drawing | None:
    """Return the drawing; None where no length was ever charted.

    Parameters
    ----------
    lengths
        Instant (UTC) and length (mm), oldest first.
    watched
        What they say.
    zone
        The ward's zone.
    """
    if not lengths:
        return None
    verdict, rules = watched.verdict, watched.rules
    baseline = verdict.baseline
    otherwise = {
        one.at
        for one in watched.compared
        if baseline is not None and arm_against(baseline, one) == "other"
    }
    readings = tuple(
        LengthReading(
            at,
            mm,
            "arm lay otherwise" if at in otherwise else "",
            _signal(at, watched),
        )
        for at, mm in lengths
    )
    error = NORMAL_95 * 2**0.5 * rules.error.sd if rules.error else None
    limit = min((one.mm for one in rules.limits), default=None)
    is_baseline = baseline is not None and verdict.state != "cannot-judge"
    drawn = Lengths(
        readings, baseline.mm if baseline and is_baseline else None, error, limit
    )
    return lengths_chart("lengths", TITLE, drawn, zone, sentence=watched.sentence)


def _signal(at: datetime, watched: WatchedLine) -> str:
    if at not in watched.length_found_at:
        return ""
    verdict = watched.verdict
    is_latest = verdict.latest is not None and verdict.latest.at == at
    if is_latest and verdict.state == "moved" and verdict.shift is not None:
        return short_words(verdict.shift)
    return "moved"


TEMPLATE = "lumenkeep/concerns/measuring_error.html"
MOST_SHOWN = 40
ENOUGH_PAIRS = 20
HOW_WORDS = {
    "found": "as a source states it",
    "memory": "from memory, to be confirmed",
    "common-practice": "common practice: no document gives one",
}


@require_safe
@never_cache
def measuring_error_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show the standard deviation that a ward's pairs give, with its limits."""
    at, person = page_context(), person_signed_in(request)
    wards = wards_open_to(person, at.chart.wards())
    here = wards if key == ALL else [ward for ward in wards if ward.key == key]
    if not here:
        must_see(person, key)
        raise Http404
    ward = here[0]
    day = ward.day_of(at.clock.now())
    book = at.policies.in_force(ward.policy_set, ward.key).on(day)
    found = measured_twice(ChildRepository(), [one.key for one in here], book)
    context = {
        "ward_key": key,
        "where": "on all wards" if key == ALL else f"on {ward.name}",
        **_page(found, ward.zone),
    }
    return show(request, TEMPLATE, context, Asker(person, wards), here=key)


def _page(found: MeasuredTwice, zone: tzinfo) -> dict[str, object]:
    rows = [_row(pair, zone) for pair in found.pairs[:MOST_SHOWN]]
    return {
        "sentence": _sentence(found.spread),
        "against": _against(found),
        "within": _minutes(found),
        "rows": rows,
        "more": len(found.pairs) - len(rows),
        "asked_for": found.asked_for,
        "is_few": 0 < len(found.pairs) < ENOUGH_PAIRS,
        "enough": ENOUGH_PAIRS,
    }


def _sentence(spread: Spread | None) -> str:
    if spread is None:
        return ""
    noun = "pair" if spread.pairs == 1 else "pairs"
    return (
        f"One measurement is off by {spread.sd:.1f} mm ({spread.low:.1f} to "
        f"{spread.high:.1f} mm), by {spread.pairs} {noun}."
    )


def _against(found: MeasuredTwice) -> str:
    if found.used_mm is None:
        return "The policy states no measuring error, so only its limits speak."
    said = f"The policy goes by {found.used_mm:g} mm ({HOW_WORDS[found.used_how]})."
    if found.spread is None:
        return said
    if found.spread.low <= found.used_mm <= found.spread.high:
        return f"{said} That lies within the limits."
    way = "more" if found.spread.low > found.used_mm else "less"
    return (
        f"{said} Here it is {way} than that: propose your own number for "
        "“length-error”, and prove the set again."
    )


def _minutes(found: MeasuredTwice) -> str:
    if found.within is None:
        return ""
    return f"{found.within.total_seconds() / 60:g} minutes"


def _row(pair: LengthPair, zone: tzinfo) -> tuple[Link, str, str, str, str]:
    """Return when a pair was measured, both lengths, their difference, and the arm."""
    one, two = pair.first, pair.second
    key = "external_length_mm"
    href = f"{reverse('line', args=[one.line])}?entries=all#entry-{two.id}"
    return (
        Link(day_and_time(one.happened_at, zone), href),
        f"{one.body[key]:g}",
        f"{two.body[key]:g}",
        f"{pair.difference_mm:+g}".replace("-", "−"),
        str(one.body.get("arm") or ""),
    )
