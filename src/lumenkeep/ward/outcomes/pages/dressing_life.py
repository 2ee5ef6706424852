"""How long dressings hold on a ward, or on all: answer, picture, table, doubts."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.watch.life_splits import ALL as NOT_GROUPED
from lumenkeep.errors import Fault, InputError
from lumenkeep.text.moments import lower_first
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.pages.context import ALL, Asker, must_see, page_context, show
from lumenkeep.ward.chart.store.children import ChildRepository
from lumenkeep.ward.outcomes.dressing_life import (
    LONGEST_HORIZON,
    DressingLife,
    LifeQuery,
    dressing_life,
    shipped_life_plan,
)
from lumenkeep.ward.outcomes.dressing_life_words import (
    SPLIT_WORDS,
    basis_words,
    comparison_words,
    doubts,
    group_words,
    life_sentence,
)
from lumenkeep.ward.outcomes.pages.life_shape import (
    end_heads,
    failure_rows,
    group_rows,
    life_drawing,
    ratio_rows,
)
from lumenkeep.ward.site.pages.days import day_asked
from lumenkeep.ward.site.pages.shapes import Option

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.site.people import StaffRecord, WardRecord

TEMPLATE = "lumenkeep/outcomes/dressing_life.html"
ONE_DAY = timedelta(days=1)


@require_safe
@never_cache
def dressing_life_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show how long the dressings of a ward hold, grouped as asked."""
    at, person = page_context(), person_signed_in(request)
    every_ward = at.chart.wards()
    wards = wards_open_to(person, every_ward)
    where = _where(wards, key, person)
    keys = tuple(ward.key for ward in wards) if key == ALL else (key,)
    typed = {
        name: request.GET.get(name, "").strip()
        for name in ("split", "kind", "first", "last", "day")
    }
    faults: list[Fault] = []
    asked = _asked(typed, keys, faults)
    context = _form(typed, key, where)
    try:
        # What is asked is checked here too, so that all its faults come together.
        found = dressing_life(ChildRepository(), every_ward, asked, at.clock.now())
    except InputError as error:
        faults += error.faults
    else:
        context |= {} if faults else _page(found, every_ward, where, typed["kind"])
    context["faults"] = faults
    status = 400 if faults else 200
    return show(
        request, TEMPLATE, context, Asker(person, wards), here=key, status=status
    )


def _where(wards: Sequence[WardRecord], key: str, person: StaffRecord) -> str:
    if key == ALL:
        return "on all wards" if len(wards) > 1 else "here"
    names = {ward.key: ward.name for ward in wards}
    if key not in names:
        must_see(person, key)
        raise Http404
    return f"on {names[key]}"


def _asked(
    typed: dict[str, str], wards: tuple[str, ...], faults: list[Fault]
) -> LifeQuery:
    last = _day(typed["last"], "last", faults)
    kind = typed["kind"] or None
    if kind is not None and kind not in DRESSINGS:
        faults.append(
            Fault(
                "life-bad-kind",
                "That is no kind of dressing known here.",
                "kind",
                "choose one of the list",
            )
        )
        kind = None
    return LifeQuery(
        wards,
        typed["split"] or NOT_GROUPED,
        kind,
        _day(typed["first"], "first", faults),
        None if last is None else last + ONE_DAY,
        _horizon(typed["day"], faults),
    )


def _day(text: str, field: str, faults: list[Fault]) -> date | None:
    if not text:
        return None
    day = day_asked(text)
    if day is None:
        faults.append(
            Fault(
                "life-bad-day",
                "This is no day of the calendar.",
                field,
                "write a day, as in 2026-03-05, or leave it empty",
            )
        )
    return day


def _horizon(text: str, faults: list[Fault]) -> float | None:
    if not text:
        return None
    try:
        return float(text.replace(",", "."))
    except ValueError:
        faults.append(
            Fault(
                "life-bad-horizon",
                "That day cannot be asked for.",
                "day",
                f"write a day above 0, up to {LONGEST_HORIZON}",
            )
        )
        return None


def _form(typed: dict[str, str], key: str, where: str) -> dict[str, object]:
    return {
        "ward_key": key,
        "where": where,
        "typed": typed,
        "splits": [
            Option(value, words, value == (typed["split"] or NOT_GROUPED))
            for value, words in SPLIT_WORDS.items()
        ],
        "kinds": [
            Option(value, words, value == typed["kind"])
            for value, words in {"": "All kinds", **DRESSINGS}.items()
        ],
        "plan": shipped_life_plan(),
        "day_of_gauze": f"{shipped_life_plan().horizon('gauze'):g}",
        "day_of_film": f"{shipped_life_plan().horizon():g}",
    }


def _page(
    found: DressingLife, wards: Sequence[WardRecord], where: str, kind: str
) -> dict[str, object]:
    names = {ward.key: ward.name for ward in wards}
    whole = found.whole
    if whole is None:
        return {"nothing": f"No dressing {where} is charted for what was asked."}
    what = (
        f"dressings ({lower_first(DRESSINGS[kind])})"
        if kind in DRESSINGS
        else "dressings"
    )
    zones = {ward.key: ward.zone for ward in wards}
    failures, more = failure_rows(found, zones, _entry_href)
    context: dict[str, object] = {
        "sentence": life_sentence(whole, f"{what} {where}"),
        "basis": basis_words(whole),
        "drawing": life_drawing(found, names, where),
        "heads": [words for _, words in end_heads(found)],
        "rows": group_rows(found, names),
        "split_words": SPLIT_WORDS[found.asked.split],
        "is_split": found.asked.split != NOT_GROUPED,
        "doubts": doubts(whole, found.no_ward, len(found.without_start)),
        "failures": failures,
        "more_failures": more,
        "failure_words": f"The {len(failures)} latest of {len(failures) + more}"
        if more
        else f"All {len(failures)}, each with its entry",
    }
    if found.comparison is not None:
        context |= _comparison(found, names)
    elif found.asked.split != NOT_GROUPED:
        context["no_comparison"] = (
            "There are no two groups with enough dressings and failures to compare."
        )
    return context


def _comparison(found: DressingLife, names: dict[str, str]) -> dict[str, object]:
    comparison = found.comparison
    if comparison is None:
        return {}
    split = found.asked.split
    return {
        "comparison": comparison_words(comparison, found.plan.test),
        "against": group_words(split, comparison.keys[0], names),
        "ratios": ratio_rows(found, names),
        "ratio_cautions": comparison.model.cautions,
        "left_out": [group_words(split, key, names) for key in comparison.left_out],
    }


def _entry_href(line: str, entry: int) -> str:
    return f"{reverse('line', args=[line])}?entries=all#entry-{entry}"
