"""The pages of the set's own table: its name, whom to call, the orders; new sources."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.ward.policies.edit import (
    ABOUT,
    ORDERS,
    Conflict,
    PartName,
    part_now,
)
from lumenkeep.ward.policies.pages.context import (
    editing_context,
    find_draft,
    policy_of_draft,
)
from lumenkeep.ward.policies.pages.edit_rule import new_id
from lumenkeep.ward.policies.pages.editing import (
    MET_ANOTHER,
    REFUSED,
    Page,
    edited,
    part_page,
    pointed,
    try_to_save,
)
from lumenkeep.ward.policies.pages.words import ORDERS as ORDER_WORDS
from lumenkeep.ward.policies.pages.words import label_of
from lumenkeep.ward.policies.parts import SET, Parts, stamp_of
from lumenkeep.ward.versions.records import DraftRecord

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.errors import Fault

ABOUT_WORDS = {
    "title": "What the policy is called",
    "version": "Name of this version",
    "call": "Whom to call where the policy gives no answer",
}
SOURCE_WORDS = {
    "title": "Title of the document",
    "body": "Who published it",
    "year": "Year (may be left out)",
    "address": "Where it is found (may be left out)",
    "covers": "Which children it speaks of (may be left out)",
}


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def order(request: HttpRequest, key: str, which: str) -> HttpResponse:
    """Show the order in which antiseptics or dressings are tried, or change it."""
    found = editing_context(request)
    draft = find_draft(found, key)
    if which not in ORDERS:
        raise Http404
    policy, name = policy_of_draft(draft), PartName(SET, which)
    now = part_now(Parts.of(draft.layers), name) or {}
    template = "lumenkeep/policy/order.html"
    page = Page(request, found, draft, template, ORDER_WORDS[which])
    items, seen, moved = list(now[which]), stamp_of(now), request.GET.get("moved", "")
    known = list(policy.agents) if which == "antiseptics" else list(DRESSINGS)
    more: dict[str, Any] = {"moved": moved, "which": which}
    if request.method == "POST":
        do, _, item = request.POST.get("do", "").partition(":")
        wanted = _moved(items, do, item or request.POST.get("add", ""), known)
        sent = request.POST.get("seen", "")
        done = try_to_save(found, draft, name, sent, table={which: wanted})
        if isinstance(done, DraftRecord):
            href = reverse("policy-order", args=[key, which])
            return redirect(f"{href}?moved={item}")
        if isinstance(done, Conflict):
            page = Page(request, found, draft, template, page.title, status=MET_ANOTHER)
            more["met"] = found.names().get(done.by, done.by)
        else:
            refused = pointed(done.faults, {"": "order"})
            page = Page(
                request, found, draft, template, page.title,
                done.others, REFUSED, refused,
            )  # fmt: skip
    rows = [(item, label_of(policy, item)) for item in items]
    rest = [(item, label_of(policy, item)) for item in known if item not in items]
    return part_page(page, {"rows": rows, "rest": rest}, seen, **more)


def _moved(items: list[str], do: str, item: str, known: list[str]) -> list[str]:
    found = list(items)
    if do == "add" and item in known and item not in found:
        return [*found, item]
    if item not in found:
        return found
    place = found.index(item)
    found.remove(item)
    if do == "up":
        found.insert(max(0, place - 1), item)
    elif do == "down":
        found.insert(place + 1, item)
    return found


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def about(request: HttpRequest, key: str) -> HttpResponse:
    """Show what the set is called and whom it calls, or save it."""
    found = editing_context(request)
    draft = find_draft(found, key)
    name, template = PartName(SET, "about"), "lumenkeep/policy/about.html"
    now = part_now(Parts.of(draft.layers), name) or {}
    page = Page(request, found, draft, template, "Name, version, and whom to call")
    if request.method != "POST":
        return part_page(page, _about_fields(now), stamp_of(now))
    typed = {key: request.POST.get(key, "").strip() for key in ABOUT}
    seen = request.POST.get("seen", "")
    done = try_to_save(found, draft, name, seen, table=typed)
    if isinstance(done, DraftRecord):
        return edited(page, reverse("policy-draft", args=[draft.key]))
    if isinstance(done, Conflict):
        page = Page(request, found, draft, template, page.title, status=MET_ANOTHER)
        theirs = "; ".join(str((done.theirs or {}).get(key)) for key in ABOUT)
        by = found.names().get(done.by, done.by)
        return part_page(
            page, _about_fields(typed), done.stamp,
            theirs=theirs, mine="; ".join(typed.values()), theirs_by=by,
        )  # fmt: skip
    refused = pointed(done.faults, _ids(ABOUT))
    page = Page(
        request, found, draft, template, page.title, done.others, REFUSED, refused
    )
    return part_page(page, _about_fields(typed, done.faults), seen)


def _ids(names: Iterable[str]) -> dict[str, str]:
    """Return the ids of fields by their names; a fault of the whole leads to the first."""
    found = {name: name for name in names}
    return {"": next(iter(found)), **found}


def _about_fields(
    texts: Mapping[str, Any], faults: Mapping[str, Fault] | None = None
) -> list[tuple[str, str, str, Fault | None]]:
    """Return name, label, text and fault of each field."""
    return [
        (key, ABOUT_WORDS[key], str(texts[key]), (faults or {}).get(key))
        for key in ABOUT
    ]


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def new_source(request: HttpRequest, key: str) -> HttpResponse:
    """Show the form of a source, or save it."""
    found = editing_context(request)
    draft = find_draft(found, key)
    template = "lumenkeep/policy/about.html"
    page = Page(request, found, draft, template, "A source that is not in the list yet")
    if request.method != "POST":
        blank = [(key, words, "", None) for key, words in SOURCE_WORDS.items()]
        return part_page(page, blank, stamp_of(None), asks_how=True)
    texts = {key: request.POST.get(key, "").strip() for key in SOURCE_WORDS}
    table: dict[str, Any] = {key: text for key, text in texts.items() if text}
    if texts["year"].isascii() and texts["year"].isdigit():
        table["year"] = int(texts["year"])
    table["how"] = request.POST.get("how", "")
    taken = {*policy_of_draft(draft).sources}
    id_ = new_id(f"{texts['body']} {texts['year']}", taken)
    done = try_to_save(
        found, draft, PartName("source", id_), stamp_of(None), table=table
    )
    if isinstance(done, DraftRecord):
        return edited(page, reverse("policy-draft", args=[draft.key]))
    faults = {} if isinstance(done, Conflict) else done.faults
    others = () if isinstance(done, Conflict) else done.others
    fields = [(k, w, texts[k], faults.get(k)) for k, w in SOURCE_WORDS.items()]
    refused = pointed(faults, _ids((*SOURCE_WORDS, "how")))
    page = Page(request, found, draft, template, page.title, others, REFUSED, refused)
    return part_page(
        page, fields, stamp_of(None), asks_how=True, chosen_how=table["how"]
    )
