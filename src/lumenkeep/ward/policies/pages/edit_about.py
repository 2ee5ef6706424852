"""The pages of the set's own table: its name, whom to call, the orders; new sources."""

from __future__ import annotations

from dataclasses import replace
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
from lumenkeep.ward.policies.pages.edit_rule import new_id
from lumenkeep.ward.policies.pages.editing import Refused, part_of, part_page
from lumenkeep.ward.policies.pages.words import ORDERS as ORDER_WORDS
from lumenkeep.ward.policies.pages.words import label_of
from lumenkeep.ward.policies.parts import SET, stamp_of
from lumenkeep.ward.versions.records import DraftRecord

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.errors import Fault

ABOUT_PAGE, ABOUT_TITLE = (
    "lumenkeep/policy/about.html", "Name, version, and whom to call",
)  # fmt: skip
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
    page = part_of(request, key, "lumenkeep/policy/order.html")
    if which not in ORDERS:
        raise Http404
    page, name = replace(page, title=ORDER_WORDS[which]), PartName(SET, which)
    policy, now = page.policy, part_now(page.parts, name) or {}
    items, moved = list(now[which]), request.GET.get("moved", "")
    known = list(policy.agents) if which == "antiseptics" else list(DRESSINGS)
    more: dict[str, Any] = {"moved": moved, "which": which}
    if page.is_sent:
        do, _, item = request.POST.get("do", "").partition(":")
        wanted = _moved(items, do, item or request.POST.get("add", ""), known)
        done = page.save(name, table={which: wanted})
        if isinstance(done, DraftRecord):
            href = reverse("policy-order", args=[key, which])
            return redirect(f"{href}?moved={item}")
        if isinstance(done, Conflict):
            page, more["met"] = page.met(), page.saver(done)
        else:
            page = page.refused(done, {"": "order"})
    rows = [(item, label_of(policy, item)) for item in items]
    rest = [(item, label_of(policy, item)) for item in known if item not in items]
    return part_page(page, {"rows": rows, "rest": rest}, stamp_of(now), **more)


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
    page, name = part_of(request, key, ABOUT_PAGE, ABOUT_TITLE), PartName(SET, "about")
    if not page.is_sent:
        now = part_now(page.parts, name) or {}
        return part_page(page, _about_fields(now), stamp_of(now))
    typed = {key: request.POST.get(key, "").strip() for key in ABOUT}
    done = page.save(name, table=typed)
    if isinstance(done, DraftRecord):
        return page.edited()
    if isinstance(done, Conflict):
        theirs = "; ".join(str((done.theirs or {}).get(key)) for key in ABOUT)
        return part_page(
            page.met(), _about_fields(typed), done.stamp,
            theirs=theirs, mine="; ".join(typed.values()), theirs_by=page.saver(done),
        )  # fmt: skip
    fields = _about_fields(typed, done.faults)
    return part_page(page.refused(done, _ids(ABOUT)), fields, page.seen)


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
    page = part_of(request, key, ABOUT_PAGE, "A source that is not in the list yet")
    if not page.is_sent:
        blank = [(key, words, "", None) for key, words in SOURCE_WORDS.items()]
        return part_page(page, blank, stamp_of(None), asks_how=True)
    texts = {key: request.POST.get(key, "").strip() for key in SOURCE_WORDS}
    table: dict[str, Any] = {key: text for key, text in texts.items() if text}
    if texts["year"].isascii() and texts["year"].isdigit():
        table["year"] = int(texts["year"])
    table["how"] = request.POST.get("how", "")
    id_ = new_id(f"{texts['body']} {texts['year']}", {*page.policy.sources})
    done = page.save(PartName("source", id_), seen=stamp_of(None), table=table)
    if isinstance(done, DraftRecord):
        return page.edited()
    if isinstance(done, Conflict):
        done = Refused({}, [])
    fields = [(k, w, texts[k], done.faults.get(k)) for k, w in SOURCE_WORDS.items()]
    return part_page(
        page.refused(done, _ids((*SOURCE_WORDS, "how"))),
        fields,
        stamp_of(None),
        asks_how=True,
        chosen_how=table["how"],
    )
