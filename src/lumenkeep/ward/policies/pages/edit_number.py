"""The page on which a number is changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.text.moments import capital
from lumenkeep.ward.policies.edit import Conflict, PartName
from lumenkeep.ward.policies.pages.context import (
    editing_context,
    find_draft,
    policy_of_draft,
)
from lumenkeep.ward.policies.pages.draft import rules_by_number
from lumenkeep.ward.policies.pages.editing import (
    MET_ANOTHER,
    REFUSED,
    Page,
    edited,
    part_page,
    pointed,
    try_to_save,
    typed_of,
)
from lumenkeep.ward.policies.pages.number_form import (
    number_form,
    table_from,
    typed_from,
)
from lumenkeep.ward.policies.pages.words import UNITS
from lumenkeep.ward.policies.parts import Parts, stamp_of
from lumenkeep.ward.versions.records import DraftRecord

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.policies.parts import Table

TEMPLATE = "lumenkeep/policy/number.html"


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def number(request: HttpRequest, key: str, id_: str) -> HttpResponse:
    """Show a number's form, or save what was sent."""
    found = editing_context(request)
    draft = find_draft(found, key)
    parts = Parts.of(draft.layers)
    table = parts.table("number", id_)
    if table is None:
        raise Http404
    page = Page(
        request,
        found,
        draft,
        TEMPLATE,
        capital(policy_of_draft(draft).numbers[id_].means),
    )
    name = PartName("number", id_)
    was = parts.inherited("number", id_)
    more: dict[str, Any] = {
        "below": _in_words(was) if parts.is_own("number", id_) and was else "",
        "used_by": rules_by_number(draft, id_),
    }
    if request.method != "POST":
        typed = typed_from(table)
        return part_page(page, number_form(typed, {}), stamp_of(table), **more)
    typed, seen = typed_of(request.POST), request.POST.get("seen", "")
    if request.POST.get("do") == "as-below":
        done = try_to_save(
            found, draft, name, seen, change=lambda p: p.as_below("number", id_)
        )
    else:
        done = try_to_save(found, draft, name, seen, table=_whole(table, typed))
    if isinstance(done, DraftRecord):
        return edited(page, reverse("policy-draft", args=[key]))
    if isinstance(done, Conflict):
        page = Page(request, found, draft, TEMPLATE, page.title, status=MET_ANOTHER)
        theirs = _in_words(done.theirs) if done.theirs else "taken out"
        mine = _in_words(table_from(typed))
        return part_page(
            page, number_form(typed, {}), done.stamp,
            theirs=theirs, mine=mine, **more, theirs_by=found.names().get(done.by, done.by),
        )  # fmt: skip
    form = number_form(typed, done.faults)
    refused = pointed(done.faults, form.ids)
    page = Page(
        request, found, draft, TEMPLATE, page.title, done.others, REFUSED, refused
    )
    return part_page(page, form, seen, **more)


def _whole(table: Table, typed: dict[str, list[str]]) -> dict[str, Any]:
    """Return the number as sent; a unit is not changed here."""
    return {**table_from(typed), "unit": table.get("unit")}


def _in_words(table: Table) -> str:
    unit = UNITS.get(str(table.get("unit")), str(table.get("unit")))
    return "; ".join(
        f"{dated.get('value')} {unit} from {dated.get('from')} ({dated.get('source')})"
        for dated in table.get("values", ())
    )
