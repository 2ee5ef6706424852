"""The pages on which a rule is changed, added or taken out."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.text.moments import capital
from lumenkeep.ward.policies.edit import Conflict, PartName
from lumenkeep.ward.policies.pages.context import (
    PolicyContext,
    editing_context,
    find_draft,
    policy_of_draft,
)
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
from lumenkeep.ward.policies.pages.rule_form import (
    FIELDS,
    fault_fields,
    rearranged,
    rule_form,
    said_twice,
    table_from,
    typed_from,
)
from lumenkeep.ward.policies.pages.words import FIELD_OF, KINDS, NEW, rule_sentence
from lumenkeep.ward.policies.parts import Parts, stamp_of
from lumenkeep.ward.versions.records import DraftRecord

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.policies.parts import Table

TEMPLATE = "lumenkeep/policy/rule.html"
NOT_IN_AN_ID = re.compile(r"[^a-z0-9]+")
LONGEST_ID = 48
# What the form does not ask is kept as it stands.
ASKED = {"id", "because", "numbers", "source", "how", "when"}


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def rule(request: HttpRequest, key: str, kind: str, id_: str) -> HttpResponse:
    """Show a rule's form, or do what was sent."""
    found = editing_context(request)
    draft = find_draft(found, key)
    parts = Parts.of(draft.layers)
    table, was = parts.table(kind, id_), parts.inherited(kind, id_)
    if kind not in FIELDS or (table is None and was is None):
        raise Http404
    shown = table if table is not None else was or {}
    page = Page(
        request, found, draft, TEMPLATE, capital(str(shown.get("because", id_)))
    )
    more = {
        "is_changed": parts.is_own(kind, id_) and was is not None,
        "is_removed": table is None,
        "says": _says(draft, kind, id_, found),
        "kind_words": KINDS[kind],
    }
    if request.method != "POST":
        typed = typed_from(shown, found.today)
        return _form(page, kind, id_, typed, stamp_of(table), {}, **more)
    return _sent(page, PartName(kind, id_), table, more)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def new_rule(request: HttpRequest, key: str, kind: str) -> HttpResponse:
    """Show the form of a new rule, or save it."""
    found = editing_context(request)
    draft = find_draft(found, key)
    if kind not in NEW:
        raise Http404
    page = Page(request, found, draft, TEMPLATE, NEW[kind])
    more = {"is_new": True, "kind_words": KINDS[kind]}
    if request.method != "POST":
        typed = typed_from({}, found.today)
        return _form(page, kind, "", typed, stamp_of(None), {}, **more)
    because = request.POST.get("because", "")
    id_ = new_id(because, Parts.of(draft.layers).every_id())
    return _sent(page, PartName(kind, id_), None, more)


def new_id(because: str, taken: set[str]) -> str:
    """Return an id for a rule from its reason, that no other part has.

    Examples
    --------
    >>> new_id("No film on a weeping site.", {"no-film-on-a-weeping-site"})
    'no-film-on-a-weeping-site-2'
    """
    plain = NOT_IN_AN_ID.sub("-", because.lower()).strip("-")[:LONGEST_ID].strip("-")
    plain = plain or "rule"
    found, count = plain, 1
    while found in taken:
        count += 1
        found = f"{plain}-{count}"
    return found


def _sent(
    page: Page, name: PartName, table: Table | None, more: dict[str, Any]
) -> HttpResponse:
    found, draft, request = page.found, page.draft, page.request
    typed, do = typed_of(request.POST), request.POST.get("do", "")
    seen = request.POST.get("seen", "")
    if do.startswith(("add:", "drop:")):
        typed = rearranged(typed, do, found.today)
        return _form(page, name.kind, name.id, typed, seen, {}, **more)
    twice = said_twice(typed)
    if twice and do not in ("take-out", "as-below"):
        page = replace(page, status=REFUSED)
        return _form(page, name.kind, name.id, typed, seen, twice, **more)
    fresh: dict[str, Any] | None = None
    if do not in ("take-out", "as-below"):
        fresh = _whole(name, table, typed)
    done = try_to_save(
        found,
        draft,
        name,
        seen,
        table=fresh,
        change=(lambda p: p.as_below(name.kind, name.id)) if do == "as-below" else None,
    )
    if isinstance(done, DraftRecord):
        return edited(page, reverse("policy-draft", args=[draft.key]))
    if isinstance(done, Conflict):
        again = find_draft(found, draft.key)
        met = Page(request, found, again, TEMPLATE, page.title, status=MET_ANOTHER)
        theirs = _says(again, name.kind, name.id, found) or "taken out"
        more |= {"theirs": theirs, "theirs_by": found.names().get(done.by, done.by)}
        more |= {"is_taking_out": do == "take-out"}
        return _form(met, name.kind, name.id, typed, done.stamp, {}, **more)
    refused = Page(
        request, found, draft, TEMPLATE, page.title, done.others, status=REFUSED
    )
    faults = fault_fields(typed, done.faults)
    return _form(refused, name.kind, name.id, typed, seen, faults, **more)


def _whole(
    name: PartName, table: Table | None, typed: Mapping[str, list[str]]
) -> dict[str, Any]:
    asked = ASKED | set(FIELDS[name.kind])
    kept = {k: v for k, v in (table or {}).items() if k not in asked}
    return {**table_from(name.kind, name.id, typed), **kept}


def _form(
    page: Page,
    kind: str,
    id_: str,
    typed: Mapping[str, list[str]],
    seen: str,
    faults: Mapping[str, Any],
    **more: Any,
) -> HttpResponse:
    form = rule_form(kind, id_, typed, policy_of_draft(page.draft), faults)
    page = replace(page, refusals=pointed(faults, form.ids))
    return part_page(page, form, seen, **more)


def _says(draft: DraftRecord, kind: str, id_: str, found: PolicyContext) -> str:
    policy = policy_of_draft(draft)
    rules = {one.id: one for one in getattr(policy, FIELD_OF[kind])}
    one = rules.get(id_)
    return rule_sentence(policy, one, found.today) if one else ""
