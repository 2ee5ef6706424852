"""The pages on which a rule is changed, added or taken out."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from lumenkeep.text.moments import capital
from lumenkeep.ward.policies.edit import Conflict, PartName
from lumenkeep.ward.policies.pages.context import find_draft
from lumenkeep.ward.policies.pages.editing import (
    REFUSED,
    Page,
    part_of,
    part_page,
    pointed,
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
from lumenkeep.ward.policies.parts import stamp_of
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
    page = part_of(request, key, TEMPLATE)
    parts = page.parts
    table, was = parts.table(kind, id_), parts.inherited(kind, id_)
    if kind not in FIELDS or (table is None and was is None):
        raise Http404
    shown = table if table is not None else was or {}
    page = replace(page, title=capital(str(shown.get("because", id_))))
    more = {
        "is_changed": parts.is_own(kind, id_) and was is not None,
        "is_removed": table is None,
        "says": _says(page, kind, id_),
        "kind_words": KINDS[kind],
    }
    name = PartName(kind, id_)
    if page.is_sent:
        return _sent(page, name, table, more)
    typed = typed_from(shown, page.found.today)
    return _form(page, name, typed, stamp_of(table), {}, **more)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def new_rule(request: HttpRequest, key: str, kind: str) -> HttpResponse:
    """Show the form of a new rule, or save it."""
    page = part_of(request, key, TEMPLATE)
    if kind not in NEW:
        raise Http404
    page = replace(page, title=NEW[kind])
    more = {"is_new": True, "kind_words": KINDS[kind]}
    if not page.is_sent:
        typed = typed_from({}, page.found.today)
        return _form(page, PartName(kind, ""), typed, stamp_of(None), {}, **more)
    id_ = new_id(request.POST.get("because", ""), page.parts.every_id())
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
    post, today = page.request.POST, page.found.today
    typed, do = typed_of(post), post.get("do", "")
    if do.startswith(("add:", "drop:")):
        typed = rearranged(typed, do, today)
        return _form(page, name, typed, page.seen, {}, **more)
    is_whole = do not in ("take-out", "as-below")
    twice = said_twice(typed)
    if twice and is_whole:
        page = replace(page, status=REFUSED)
        return _form(page, name, typed, page.seen, twice, **more)
    done = page.save(
        name,
        table=_whole(name, table, typed) if is_whole else None,
        change=(lambda p: p.as_below(name.kind, name.id)) if do == "as-below" else None,
    )
    if isinstance(done, DraftRecord):
        return page.edited()
    if isinstance(done, Conflict):
        met = replace(page.met(), draft=find_draft(page.found, page.draft.key))
        theirs = _says(met, name.kind, name.id) or "taken out"
        more |= {"theirs": theirs, "theirs_by": page.saver(done)}
        more |= {"is_taking_out": do == "take-out"}
        return _form(met, name, typed, done.stamp, {}, **more)
    refused = replace(page, others=done.others, status=REFUSED)
    faults = fault_fields(typed, done.faults)
    return _form(refused, name, typed, page.seen, faults, **more)


def _whole(
    name: PartName, table: Table | None, typed: Mapping[str, list[str]]
) -> dict[str, Any]:
    asked = ASKED | set(FIELDS[name.kind])
    kept = {k: v for k, v in (table or {}).items() if k not in asked}
    return {**table_from(name.kind, name.id, typed), **kept}


def _form(
    page: Page,
    name: PartName,
    typed: Mapping[str, list[str]],
    seen: str,
    faults: Mapping[str, Any],
    **more: Any,
) -> HttpResponse:
    form = rule_form(name.kind, name.id, typed, page.policy, faults)
    page = replace(page, refusals=pointed(faults, form.ids))
    return part_page(page, form, seen, **more)


def _says(page: Page, kind: str, id_: str) -> str:
    rules = {one.id: one for one in getattr(page.policy, FIELD_OF[kind])}
    one = rules.get(id_)
    return rule_sentence(page.policy, one, page.found.today) if one else ""
