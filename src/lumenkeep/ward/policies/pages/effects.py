"""What a draft would do: its proof, the comparison, the children; each loaded alone."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy.archive import policy_from_texts
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.text.moments import plain_day_and_time
from lumenkeep.ward.chart.pages.context import show
from lumenkeep.ward.chart.pages.facts import child_in_words
from lumenkeep.ward.chart.pages.plan_page import plan_page
from lumenkeep.ward.long_work.jobs import JobSoFar
from lumenkeep.ward.policies.children import lines_changed
from lumenkeep.ward.policies.pages.context import (
    editing_context,
    find_draft,
    find_version,
    groups_in_force,
    policy_context,
    policy_of_draft,
)
from lumenkeep.ward.policies.pages.effects_shape import (
    child_rows,
    fact_rows,
    proof_rows,
)
from lumenkeep.ward.policies.pages.words import PROPERTIES, names_joined
from lumenkeep.ward.policies.runs import (
    comparison_of,
    proof_of,
    stop_comparison,
    stop_proof,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.archive import SetTexts
    from lumenkeep.ward.policies.pages.context import PolicyContext
    from lumenkeep.ward.versions.records import DraftRecord


@require_safe
@never_cache
def proof(request: HttpRequest, key: str) -> HttpResponse:
    """Show how far the proof is; the part asks again until it is over."""
    found = policy_context(request)
    draft = find_draft(found, key)
    run = _proof(found, draft, again="again" in request.GET)
    holds = bool(run.done and run.done.get("proved"))
    context = {
        "draft": draft,
        "run": run,
        "rows": proof_rows(draft.key, run),
        "holds": holds,
        "may_hand_over": holds and found.may_edit,
        "may_stop": found.may_edit,
    }
    return render(request, "lumenkeep/policy/proof.html", context)


@require_POST
def stop_it(request: HttpRequest, key: str) -> HttpResponse:
    """Stop the proof of a draft that is under way, or its comparisons: ``what`` is said."""
    found = editing_context(request)
    policy = policy_of_draft(find_draft(found, key))
    if request.POST.get("what") == "comparison":
        _stop_comparisons(found, policy)
    else:
        stop_proof(policy.digest, found.today)
    return redirect(reverse("policy-draft", args=[key]) + "#effects")


@require_POST
def stop_version(request: HttpRequest, id_: int) -> HttpResponse:
    """Stop the comparisons of a version that are under way."""
    found = editing_context(request)
    _stop_comparisons(found, policy_from_texts(find_version(found, id_).layers))
    return redirect("policy-version", id_)


def _stop_comparisons(found: PolicyContext, policy: Policy) -> None:
    for group in groups_in_force(found.in_force()):
        stop_comparison(group[0].policy.digest, policy.digest, found.today)


@require_safe
@never_cache
def comparison(request: HttpRequest, key: str) -> HttpResponse:
    """Show for whom the draft answers otherwise than what is in force."""
    found = policy_context(request)
    draft = find_draft(found, key)
    href = reverse("policy-comparison", args=[key])
    stop_href = reverse("policy-stop", args=[key])
    return _compared(request, found, draft.layers, (href, stop_href), "Draft")


@require_safe
@never_cache
def version_comparison(request: HttpRequest, id_: int) -> HttpResponse:
    """Show for whom a version answers otherwise than what is in force."""
    found = policy_context(request)
    href = reverse("policy-version-comparison", args=[id_])
    layers = find_version(found, id_).layers
    stop_href = reverse("policy-version-stop", args=[id_])
    return _compared(request, found, layers, (href, stop_href), "This version")


def _compared(
    request: HttpRequest,
    found: PolicyContext,
    layers: Sequence[SetTexts],
    hrefs: tuple[str, str],
    name: str,
) -> HttpResponse:
    policy = policy_from_texts(layers)
    again = "again" in request.GET
    groups, is_over = [], True
    for group in groups_in_force(found.in_force()):
        first = group[0]
        run, is_one = JobSoFar(done={}), first.policy.digest == policy.digest
        if not is_one:
            run = comparison_of(
                (first.layers, first.policy.digest),
                (layers, policy.digest),
                found.today,
                again=again,
                by=found.person.key,
            )
        is_over &= run.is_over
        groups.append(
            {
                "wards": names_joined(one.ward.name for one in group),
                "title": f"{first.policy.title}, version {first.policy.version}",
                "run": run,
                "is_one": is_one,
                "regions": (run.done or {}).get("regions", ()),
                "statements": (run.done or {}).get("statements", ()),
            }
        )
    context = {
        "href": hrefs[0],
        "stop_href": hrefs[1],
        "may_stop": found.may_edit,
        "name": name,
        "groups": groups,
        "is_over": is_over,
    }
    return render(request, "lumenkeep/policy/comparison.html", context)


@require_safe
@never_cache
def children(request: HttpRequest, key: str) -> HttpResponse:
    """Show the children whom the draft would treat differently now."""
    found = policy_context(request)
    policy = policy_of_draft(find_draft(found, key))
    return _children(request, found, policy, "Draft")


@require_safe
@never_cache
def version_children(request: HttpRequest, id_: int) -> HttpResponse:
    """Show the children whom a version would treat differently now."""
    found = policy_context(request)
    policy = policy_from_texts(find_version(found, id_).layers)
    return _children(request, found, policy, "This version")


def _children(
    request: HttpRequest, found: PolicyContext, policy: Policy, name: str
) -> HttpResponse:
    now = found.now
    seen = {ward.key for ward in found.wards}
    in_force = {
        one.ward.key: one.policy for one in found.in_force() if one.ward.key in seen
    }
    lines = [one for one in found.at.chart.lines_in(None) if one.ward in seen]
    changed = lines_changed(lines, in_force, policy, now)
    rows = child_rows(changed, found.wards, now)
    context = {"name": name, "rows": rows, "total": len(lines)}
    return render(request, "lumenkeep/policy/children.html", context)


@require_safe
@never_cache
def child(request: HttpRequest, key: str, name: str, place: int) -> HttpResponse:
    """Show the plan of the child on whom a property was seen to break."""
    found = policy_context(request)
    draft = find_draft(found, key)
    breach = _breach(_proof(found, draft), name, place)
    policy = policy_of_draft(draft)
    instants = [at for at in (breach["at"], breach.get("later")) if at]
    case = case_from_mapping(breach["case"], "example child", bounds=policy.bounds)
    labels = {id_: agent.label for id_, agent in policy.agents.items()}
    shown = []
    for text in instants:
        at = datetime.fromisoformat(text)
        plan = plan_change(case, at, policy)
        shown.append(
            {
                "when": plain_day_and_time(at, found.zone),
                "who": child_in_words(case, at),
                "page": plan_page(plan, found.zone, labels, lambda _: None),
            }
        )
    context = {
        "draft": draft,
        "title": PROPERTIES.get(name, (name, ""))[0],
        "breach": breach,
        "facts": fact_rows(breach["case"], found.zone),
        "shown": shown,
        "back": reverse("policy-draft", args=[key]),
    }
    return show(
        request,
        "lumenkeep/policy/child.html",
        context,
        found,
    )


def _proof(
    found: PolicyContext, draft: DraftRecord, *, again: bool = False
) -> JobSoFar:
    digest = policy_of_draft(draft).digest
    by = found.person.key
    return proof_of(draft.layers, digest, found.today, again=again, by=by)


def _breach(run: JobSoFar, name: str, place: int) -> dict[str, Any]:
    properties = (run.done or {}).get("properties", [])
    one = next((p for p in properties if p["name"] == name), None)
    if one is None or place >= len(one["breaches"]):
        raise Http404
    breach: dict[str, Any] = one["breaches"][place]
    if breach["case"] is None:
        raise Http404
    return breach
