"""What stands behind a number: the days of a period, and the children of one day."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.model.words import LINE_KINDS
from lumenkeep.text.moments import counted, plain_day, plain_day_and_time
from lumenkeep.ward.chart.pages.context import page_context, show
from lumenkeep.ward.chart.store.children import ChildRepository
from lumenkeep.ward.outcomes.count_days import count_days, protocol_for
from lumenkeep.ward.outcomes.figures import HAND, UsedDay, days_in_use
from lumenkeep.ward.outcomes.manual import standing_counts
from lumenkeep.ward.outcomes.pages.page import OutcomesRequest, asked
from lumenkeep.ward.outcomes.ratio import stratum_names
from lumenkeep.ward.site.pages.days import day_asked
from lumenkeep.ward.site.pages.shapes import Link

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.outcomes.daily_count import ChildThere, CountedDay
    from lumenkeep.ward.outcomes.records import ManualCount

NOT_COUNTED = "missing"


@require_safe
@never_cache
def outcome_days(request: HttpRequest, key: str) -> HttpResponse:
    """Show every day of a period with its count, or why it has none."""
    what = asked(request, key)
    days, by_hand = _counted(what, what.first, what.last)
    used = days_in_use(days, by_hand)
    only = request.GET.get("of") == NOT_COUNTED
    missing = [day for day in used if day.count is None and day.why != "not-yet"]
    shown = missing if only else list(used)
    return show(
        request,
        "lumenkeep/outcomes/days.html",
        {
            "asked": what,
            "span": f"{plain_day(what.first)} to {plain_day(what.last)}",
            "known_words": plain_day(what.known_on) if what.known_on else "",
            "lines": [_day_line(key, day, what.known_on) for day in reversed(shown)],
            "sentence": _sentence(used, missing, only=only),
            "only_missing": only,
            "all_href": f"{reverse('outcome-days', args=[key])}?{what.query()}",
        },
        what,
        here=key,
    )


def _counted(
    what: OutcomesRequest, first: date, last: date
) -> tuple[tuple[CountedDay, ...], dict[date, ManualCount]]:
    sources = what.sources
    key = what.ward.key
    days = count_days(
        sources.days,
        sources.book,
        [what.ward],
        first,
        last,
        what.now,
        known_at=what.known_at,
    )[key]
    return days, standing_counts(sources.book.counts([key], first, last))


def _sentence(
    used: Sequence[UsedDay], missing: Sequence[UsedDay], *, only: bool
) -> str:
    if only:
        return counted(
            len(missing), "day could not be counted.", "days could not be counted."
        )
    counts = [day.count for day in used if day.count is not None]
    lines = counted(sum(c.with_line for c in counts), "line-day", "line-days")
    children = counted(sum(c.children for c in counts), "child-day", "child-days")
    days = counted(len(counts), "counted day", "counted days")
    return f"{lines} and {children} on {days}; {len(missing)} missing."


def _day_line(
    ward: str, day: UsedDay, known_on: date | None
) -> tuple[Link, tuple[str, ...], str, bool]:
    """Return a day, its numbers, how it was counted, and whether it is missing."""
    cells: tuple[str, ...] = ("–",) * 4
    if day.count is not None:
        count = day.count
        cells = tuple(
            str(n)
            for n in (count.children, count.with_line, count.temporary, count.permanent)
        )
    href = reverse("outcome-day", args=[ward, day.on.isoformat()])
    href += f"?known={known_on}" if known_on else ""
    return (
        Link(f"{day.on:%a} {plain_day(day.on)}", href),
        cells,
        day.source or day.words,
        day.count is None and day.why != "not-yet",
    )


@require_safe
@never_cache
def outcome_day(request: HttpRequest, key: str, day: str) -> HttpResponse:
    """Show who was counted on one day, and by which entries."""
    what = asked(request, key)
    on = day_asked(day)
    if on is None:
        raise Http404
    days, by_hand = _counted(what, on, on)
    counted_day, hand = days[0], by_hand.get(on)
    names = ChildRepository().names({c.child for c in counted_day.children})
    is_newborn = bool(stratum_names(protocol_for(on).protocol)) and _is_newborn(
        what, on
    )
    people = {p.key: p.name for p in page_context().staff.people(None)}
    [used] = days_in_use(days, by_hand)
    return show(
        request,
        "lumenkeep/outcomes/day.html",
        {
            "asked": what,
            "title": f"{on:%A} {plain_day(on)}",
            "known_words": plain_day(what.known_on) if what.known_on else "",
            "on": on,
            "day": counted_day,
            "used": used,
            "from_hand": used.source == HAND,
            "at": plain_day_and_time(counted_day.at, what.ward.zone)
            if counted_day.at
            else "",
            "children": [
                _child_line(child, names, on, is_newborn=is_newborn)
                for child in sorted(
                    counted_day.children, key=lambda c: names.get(c.child, c.child)
                )
            ],
            "hand": hand,
            "hand_by": people.get(hand.by, "") if hand else "",
            "hand_at": plain_day_and_time(hand.written_at, what.ward.zone)
            if hand
            else "",
            "before": reverse("outcome-day", args=[key, _step(on, -1)]),
            "after": reverse("outcome-day", args=[key, _step(on, 1)]),
        },
        what,
        here=key,
    )  # fmt: skip


def _step(on: date, by: int) -> str:
    return date.fromordinal(on.toordinal() + by).isoformat()


TIP_SAID = {
    True: "",
    False: ", tip elsewhere: no central line",
    None: ", tip not charted: open, and left out",
}


def _is_newborn(what: OutcomesRequest, on: date) -> bool:
    from lumenkeep.ward.outcomes.count_days import hour_on

    key = what.ward.key
    hour = hour_on(what.sources.book.hours([key]), key, on)
    return hour is not None and hour.unit == "newborn"


def _child_line(
    child: ChildThere, names: dict[str, str] | object, on: date, *, is_newborn: bool
) -> tuple[str, int, str, list[tuple[str, Link]]]:
    """Return a child's name, its stay, its birthweight group, and its lines."""
    known = names if isinstance(names, dict) else {}
    protocol = protocol_for(on).protocol
    stratum = protocol.stratum(child.birthweight_g) or "birthweight not charted"
    return (
        known.get(child.child, child.child),
        child.stay,
        stratum if is_newborn else "",
        [
            (
                LINE_KINDS.get(line.kind, line.kind) + TIP_SAID[line.is_central],
                Link(
                    f"entry {line.entry}",
                    f"{reverse('line', args=[line.key])}?entries=all"
                    f"#entry-{line.entry}",
                ),
            )
            for line in child.lines
        ],
    )
