"""The first policy page: what is in force where, what is drafted, what waits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404
from django.shortcuts import redirect
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from lumenkeep.text.moments import moment_in_words
from lumenkeep.ward.chart.pages.context import show
from lumenkeep.ward.chart.store.policies import record_version
from lumenkeep.ward.policies.pages.context import (
    PolicyContext,
    editing_context,
    groups_in_force,
    policy_context,
    policy_of_draft,
)
from lumenkeep.ward.policies.pages.draft import draft_changes
from lumenkeep.ward.policies.pages.words import STAGES, names_joined
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.policies.repository import version_record
from lumenkeep.ward.versions.life import standing_of

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.ward.policies.pages.context import InForce
    from lumenkeep.ward.versions.records import DraftRecord, VersionRecord

NAMED_CHANGES = 3


@require_safe
@never_cache
def overview(request: HttpRequest) -> HttpResponse:
    """Show what is in force, the drafts, and every version."""
    found = policy_context(request)
    context = {
        "in_force": _in_force(found),
        "drafts": _drafts(found),
        "versions": _versions(found),
        "may_edit": found.may_edit,
    }
    return show(
        request,
        "lumenkeep/policy/overview.html",
        context,
        found,
    )


@require_POST
def start(request: HttpRequest) -> HttpResponse:
    """Start a draft from what is in force on a ward, and go to it."""
    found = editing_context(request)
    asked = request.POST.get("ward", "")
    ward = next((w for w in found.at.chart.wards() if w.key == asked), None)
    if ward is None:
        raise Http404
    row = record_version(ward.policy_set, found.now, ward.key)
    base = version_record(row)
    title = found.at.policies.in_force(ward.policy_set, ward.key).title
    made = found.repository.start_draft(base, title, found.person.key, found.now)
    return redirect("policy-draft", made.key)


def _in_force(found: PolicyContext) -> list[tuple[InForce, str, str]]:
    """Return each policy in force, the wards that work with it, and since when."""
    rows = []
    for group in groups_in_force(found.in_force()):
        first = group[0]
        starts = [one.step.starts_at for one in group if one.step]
        since = max((at for at in starts if at), default=None)
        when = moment_in_words(since, found.now, found.zone) if since else ""
        rows.append((first, names_joined(one.ward.name for one in group), when))
    return rows


def _drafts(found: PolicyContext) -> list[tuple[DraftRecord, str, str, str]]:
    """Return each draft, who saved it last and when, and what it changes."""
    names = found.names()
    return [
        (
            draft,
            names.get(draft.edited_by, draft.edited_by),
            moment_in_words(draft.edited_at, found.now, found.zone),
            _summary(draft, found),
        )
        for draft in found.repository.drafts()
    ]


def _summary(draft: DraftRecord, found: PolicyContext) -> str:
    """Return in one line what a draft changes, so that drafts are told apart."""
    parts, policy = Parts.of(draft.layers), policy_of_draft(draft)
    changes = draft_changes(draft, policy, parts, found.today)
    named = [f"{one.label}: {one.after}" for one in changes[:NAMED_CHANGES]]
    more = len(changes) - len(named)
    return "; ".join(named) + (f"; and {more} more" if more else "")


def _versions(found: PolicyContext) -> list[tuple[VersionRecord, str, str]]:
    """Return each version with where it stands in its life, in a word and in words."""
    steps = found.repository.steps()
    ids = sorted({step.version for step in steps}, reverse=True)
    records = found.repository.versions(ids)
    rows = []
    for id_ in ids:
        stage = standing_of(steps, id_, found.now).stage
        rows.append((records[id_], stage, STAGES[stage]))
    return rows
