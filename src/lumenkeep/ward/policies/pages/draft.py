"""The page of a draft: its parts, what it changes, and what becomes of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from lumenkeep.text.moments import moment_in_words
from lumenkeep.text.policy.restated import restated_in_words
from lumenkeep.ward.chart.pages.desk import show
from lumenkeep.ward.policies.archive_file import set_as_file
from lumenkeep.ward.policies.pages.desk import (
    PolicyDesk,
    editing_desk,
    find_draft,
    policy_desk,
    policy_of_draft,
)
from lumenkeep.ward.policies.pages.draft_shape import draft_changes, draft_parts
from lumenkeep.ward.policies.pages.words import NEW
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.policies.runs import proof_of
from lumenkeep.ward.policies.steps import hand_over as take_over
from lumenkeep.ward.versions.life import LifeError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest

    from lumenkeep.errors import Fault
    from lumenkeep.ward.versions.records import DraftRecord

ZIP = "application/zip"


@require_safe
@never_cache
def draft(request: HttpRequest, key: str) -> HttpResponse:
    """Show a draft with everything in it that can be changed."""
    found = policy_desk(request)
    return draft_page(request, found, find_draft(found, key))


def draft_page(
    request: HttpRequest,
    found: PolicyDesk,
    record: DraftRecord,
    faults: Sequence[Fault] = (),
    status: int = 200,
) -> HttpResponse:
    """Return the page of a draft, with the faults of a file or of a step."""
    policy, parts = policy_of_draft(record), Parts.of(record.layers)
    names = found.names()
    context = {
        "draft": record,
        "policy": policy,
        "openly": restated_in_words(policy, found.today),
        "edited": moment_in_words(record.edited_at, found.now, found.zone),
        "editor": names.get(record.edited_by, record.edited_by),
        "changes": draft_changes(record, policy, parts, found.today),
        "groups": draft_parts(record, policy, parts, found.today),
        "new_rules": [
            (reverse("policy-new-rule", args=[record.key, kind]), words)
            for kind, words in NEW.items()
        ],
        "may_edit": found.may_edit,
        "faults": faults,
    }
    return show(
        request,
        "lumenkeep/policy/draft.html",
        context,
        person=found.person,
        wards=found.wards,
        status=status,
    )


@require_safe
def export(request: HttpRequest, key: str) -> HttpResponse:
    """Send the draft as one file."""
    record = find_draft(policy_desk(request), key)
    return packed(record.set_id, dict(record.files))


def packed(set_id: str, files: dict[str, str]) -> HttpResponse:
    """Return a set as a file to keep."""
    answer = HttpResponse(set_as_file(set_id, files), content_type=ZIP)
    answer["Content-Disposition"] = f'attachment; filename="{set_id}.zip"'
    return answer


@require_POST
def hand_over(request: HttpRequest, key: str) -> HttpResponse:
    """Keep the proved draft as a version that somebody else can approve."""
    found = editing_desk(request)
    record = find_draft(found, key)
    policy = policy_of_draft(record)
    run = proof_of(record.layers, policy.digest, found.today)
    try:
        version = take_over(found.shelf, found.at.clock, record, found.person, run.done)
    except LifeError as error:
        return draft_page(request, found, record, error.faults, status=409)
    messages.success(request, "Handed over. Another educator can now approve it.")
    return redirect("policy-version", version.id)


@require_POST
def put_away(request: HttpRequest, key: str) -> HttpResponse:
    """Put a draft away."""
    found = editing_desk(request)
    record = find_draft(found, key)
    found.shelf.close_draft(record.key, found.person.key, found.now)
    messages.success(request, f"The draft “{record.title}” is put away.")
    return redirect("policy")
