"""The page of a version: its life, and the steps that may follow."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from lumenkeep.core.policy.archive import policy_from_texts
from lumenkeep.errors import Fault, InputError, StoreError
from lumenkeep.text.moments import plain_day_and_time
from lumenkeep.text.policy.restated import restated_in_words
from lumenkeep.ward.chart.pages.context import show
from lumenkeep.ward.chart.pages.fields import local_minute
from lumenkeep.ward.long_work.jobs import JobSoFar
from lumenkeep.ward.policies.pages.context import (
    PolicyContext,
    editing_context,
    find_version,
    policy_context,
)
from lumenkeep.ward.policies.pages.draft import draft_changes, draft_parts, packed
from lumenkeep.ward.policies.pages.effects_shape import proof_rows
from lumenkeep.ward.policies.pages.words import STAGES
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.policies.steps import approve, call_off, put_in_force, retire
from lumenkeep.ward.versions.life import standing_of, standing_steps
from lumenkeep.ward.versions.records import DraftRecord, StepRecord, VersionRecord

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from django.http import HttpRequest, HttpResponse

REFUSED = 409
STEP_WORDS = {
    "drafted": "Drafted",
    "proved": "Proved, and handed over",
    "approved": "Approved",
    "in-force": "Put in force",
    "called-off": "A planned start was called off",
    "retired": "Retired",
}


@require_safe
@never_cache
def version(request: HttpRequest, id_: int) -> HttpResponse:
    """Show a version and where it stands in its life."""
    found = policy_context(request)
    return _page(request, found, find_version(found, id_))


@require_POST
def approve_it(request: HttpRequest, id_: int) -> HttpResponse:
    """Approve a version that somebody else drafted."""
    note = request.POST.get("note", "").strip()
    return _step(
        request,
        id_,
        lambda found: approve(
            found.repository, found.at.clock, id_, found.person, note
        ),
        "Approved. It can now be put in force.",
    )


@require_POST
def start_it(request: HttpRequest, id_: int) -> HttpResponse:
    """Put an approved version in force on the wards ticked."""
    wards = request.POST.getlist("ward")
    text = request.POST.get("starts-at", "")
    when = request.POST.get("when", "at-once")

    def act(found: PolicyContext) -> object:
        start = None if when == "at-once" else _instant(text, found)
        known = {ward.key for ward in found.at.chart.wards()}
        return put_in_force(
            found.repository,
            found.at.clock,
            id_,
            found.person,
            wards=[ward for ward in wards if ward in known],
            starts_at=start,
        )

    return _step(request, id_, act, "It is in force from the time you chose.")


@require_POST
def retire_it(request: HttpRequest, id_: int) -> HttpResponse:
    """Retire a version; its wards go back to the set that they name."""
    note = request.POST.get("note", "").strip()
    return _step(
        request,
        id_,
        lambda found: retire(found.repository, found.at.clock, id_, found.person, note),
        "Retired. It is no longer in force anywhere.",
    )


@require_POST
def call_it_off(request: HttpRequest, id_: int) -> HttpResponse:
    """Call off a planned start."""
    found = editing_context(request)
    step = next((one for one in found.repository.steps() if one.id == id_), None)
    if step is None:
        raise Http404
    return _step(
        request,
        step.version,
        lambda here: call_off(here.repository, here.at.clock, id_, here.person),
        "Called off.",
    )


@require_safe
def export_version(request: HttpRequest, id_: int) -> HttpResponse:
    """Send the version's own files as one file."""
    record = find_version(policy_context(request), id_)
    return packed(record.set_id, dict(record.layers[-1].files))


def _step(
    request: HttpRequest, id_: int, act: Callable[[PolicyContext], object], said: str
) -> HttpResponse:
    found = editing_context(request)
    record = find_version(found, id_)
    try:
        act(found)
    except InputError as error:
        return _page(request, found, record, error.faults, REFUSED)
    except StoreError as error:
        return _page(request, found, record, [error.fault], REFUSED)
    messages.success(request, said)
    return redirect("policy-version", id_)


def _instant(text: str, found: PolicyContext) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError as error:
        raise InputError(
            [
                Fault(
                    "policy-life-bad-start",
                    "That is no date and time.",
                    "starts-at",
                    "choose the day and the time from which it holds",
                )
            ]
        ) from error
    return at.replace(tzinfo=found.zone) if at.tzinfo is None else at


def _page(
    request: HttpRequest,
    found: PolicyContext,
    record: VersionRecord,
    faults: Sequence[Fault] = (),
    status: int = 200,
) -> HttpResponse:
    steps = found.repository.steps()
    own = [step for step in steps if step.version == record.id]
    standing = standing_of(steps, record.id, found.now)
    policy, parts = policy_from_texts(record.layers), Parts.of(record.layers)
    as_draft = _as_draft(record, found)
    drafters = {step.by for step in own if step.kind == "drafted"}
    wards = {ward.key: ward.name for ward in found.at.chart.wards()}
    busy = {step.ward for step in (*standing.in_force, *standing.planned)}
    can_start = standing.stage in ("approved", "planned", "in-force", "replaced")
    context = {
        "record": record,
        "policy": policy,
        "openly": restated_in_words(policy, found.today),
        "stage": standing.stage,
        "stage_words": STAGES[standing.stage],
        "steps": _steps(found, own, steps, wards),
        "proof": proof_rows("", JobSoFar(done=_proof(own))),
        "proof_said": _proof(own),
        "changes": draft_changes(as_draft, policy, parts, found.today),
        "groups": draft_parts(as_draft, policy, parts, found.today),
        "faults": faults,
        "sent": request.POST,
        "may_edit": found.may_edit,
        "may_approve": standing.stage == "proved" and found.person.key not in drafters,
        "waits_for_other": standing.stage == "proved" and found.person.key in drafters,
        "can_start": can_start,
        "can_retire": standing.stage != "retired",
        "wards": [
            (key, name, key in request.POST.getlist("ward"))
            for key, name in wards.items()
            if key not in busy
        ],
        "starts_at": request.POST.get("starts-at", ""),
        "soon": local_minute(found.now, found.zone),
    }
    return show(
        request,
        "lumenkeep/policy/version.html",
        context,
        found,
        status=status,
    )


def _proof(own: Sequence[StepRecord]) -> dict[str, Any]:
    """Return the proof with which a version was handed over."""
    return next((dict(step.body) for step in own if step.kind == "proved"), {})


def _steps(
    found: PolicyContext,
    own: Sequence[StepRecord],
    steps: Sequence[StepRecord],
    wards: dict[str, str],
) -> list[tuple[StepRecord, str, str, str, bool, bool]]:
    """Return each step in words: what, by whom, when, and whether it is off, or may be."""
    names, now, zone = found.names(), found.now, found.zone
    standing = {step.id for step in standing_steps(steps)}
    rows = []
    for step in own:
        words = STEP_WORDS[step.kind]
        if step.ward and step.starts_at:
            verb = "no longer in force" if step.kind == "retired" else "in force"
            at = plain_day_and_time(step.starts_at, zone)
            words = f"{wards.get(step.ward, step.ward)}: {verb} from {at}"
        is_off = step.id not in standing and step.kind == "in-force"
        is_planned = step.kind == "in-force" and not is_off
        is_planned = is_planned and bool(step.starts_at and step.starts_at > now)
        rows.append(
            (
                step,
                words,
                names.get(step.by, step.by),
                plain_day_and_time(step.at, zone),
                is_off,
                is_planned and found.may_edit,
            )
        )
    return rows


def _as_draft(record: VersionRecord, found: PolicyContext) -> DraftRecord:
    """Return a version as the shapes of a draft take it; it is only read."""
    *below, top = record.layers
    return DraftRecord(
        key="version", title="", set_id=top.name, base=record.id, below=tuple(below),
        files=dict(top.files), revision=0, editors=(), edited_by="",
        edited_at=found.now,
    )  # fmt: skip
