"""The page on which a number is changed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.text.moments import capital
from lumenkeep.ward.policies.edit import Conflict, PartName
from lumenkeep.ward.policies.pages.draft import rules_by_number
from lumenkeep.ward.policies.pages.editing import part_of, part_page, typed_of
from lumenkeep.ward.policies.pages.number_form import (
    number_form,
    table_from,
    typed_from,
)
from lumenkeep.ward.policies.pages.words import UNITS
from lumenkeep.ward.policies.parts import stamp_of
from lumenkeep.ward.versions.records import DraftRecord

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.policies.parts import Table

TEMPLATE = "lumenkeep/policy/number.html"


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def number(request: HttpRequest, key: str, id_: str) -> HttpResponse:
    """Show a number's form, or save what was sent."""
    page, name = part_of(request, key, TEMPLATE), PartName("number", id_)
    table, was = page.parts.table("number", id_), page.parts.inherited("number", id_)
    if table is None:
        raise Http404
    page = replace(page, title=capital(page.policy.numbers[id_].means))
    more: dict[str, Any] = {
        "below": _in_words(was) if page.parts.is_own("number", id_) and was else "",
        "used_by": rules_by_number(page.draft, id_),
    }
    if not page.is_sent:
        form = number_form(typed_from(table), {})
        return part_page(page, form, stamp_of(table), **more)
    typed = typed_of(request.POST)
    if request.POST.get("do") == "as-below":
        done = page.save(name, change=lambda parts: parts.as_below("number", id_))
    else:
        done = page.save(name, table=_whole(table, typed))
    if isinstance(done, DraftRecord):
        return page.edited()
    if isinstance(done, Conflict):
        theirs = _in_words(done.theirs) if done.theirs else "taken out"
        mine = _in_words(table_from(typed))
        return part_page(
            page.met(), number_form(typed, {}), done.stamp,
            theirs=theirs, mine=mine, **more, theirs_by=page.saver(done),
        )  # fmt: skip
    form = number_form(typed, done.faults)
    return part_page(page.refused(done, form.ids), form, page.seen, **more)


def _whole(table: Table, typed: dict[str, list[str]]) -> dict[str, Any]:
    """Return the number as sent; a unit is not changed here."""
    return {**table_from(typed), "unit": table.get("unit")}


def _in_words(table: Table) -> str:
    unit = UNITS.get(str(table.get("unit")), str(table.get("unit")))
    return "; ".join(
        f"{dated.get('value')} {unit} from {dated.get('from')} ({dated.get('source')})"
        for dated in table.get("values", ())
    )
