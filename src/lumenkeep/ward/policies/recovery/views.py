"""Every break in sterile technique that a policy knows, and what to do after one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.asepsis.branch import Branch
from lumenkeep.core.asepsis.procedure import Slip
from lumenkeep.core.recovery.handful import often_of
from lumenkeep.core.recovery.steps import (
    OFTEN,
    ORDERS,
    AtSteps,
    by_steps,
    can_happen,
    found_by,
    slips_in_order,
)
from lumenkeep.core.recovery.ways_of_branch import BranchKey
from lumenkeep.core.rehearsal.procedure_files import bedside_of, change_procedure
from lumenkeep.core.rehearsal.rehearse import named_branches
from lumenkeep.core.rehearsal.stage import Stage
from lumenkeep.ward.chart.pages.context import page_context, show, zone_of
from lumenkeep.ward.guide.kept_ways import KeptWays
from lumenkeep.ward.policies.reading.views import asked_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from django.http import HttpRequest

    from lumenkeep.ward.policies.reading.sets import SetToRead
    from lumenkeep.ward.policies.reading.views import ReadingRequest

TEMPLATES = "lumenkeep/recovery"
ORDER_WORDS = {"often": "Most frequent first", "grave": "Gravest first"}


@dataclass(frozen=True, slots=True)
class BreakRow:
    """A break in the list; ``often`` is an assumption (count in 1000 steps)."""

    slip: Slip
    often: int

    @property
    def is_call(self) -> bool:
        """Whether it always ends in a call."""
        return self.slip.ending != "way-back"


@dataclass(frozen=True, slots=True)
class BranchChoice:
    """A branch that can be chosen; ``key`` names it in an address."""

    key: str
    title: str
    branch: Branch


@dataclass(frozen=True, slots=True)
class StepSaid:
    """A step, by its number in the branch, and what is done in it."""

    number: int
    says: str


@dataclass(frozen=True, slots=True)
class StepsAlike:
    """Steps at which a break asks for the same, and what that is."""

    steps: tuple[StepSaid, ...]
    found: AtSteps
    then: StepSaid | None
    unfinished_then: StepSaid | None


@require_safe
@never_cache
def breaks(request: HttpRequest, key: str) -> HttpResponse:
    """List the breaks; ``find`` keeps those that hold its words, ``order`` sorts them."""
    asked = asked_of(request)
    one, day = asked.set_of(key), _today(asked)
    bedside = bedside_of(one.policy, day)
    order = request.GET.get("order", OFTEN)
    if order not in ORDERS:
        raise Http404
    words = request.GET.get("find", "")
    often = often_of(bedside, day)
    found = found_by(slips_in_order(bedside, day, order), words)
    context = {
        "key": key,
        "policy": one.policy,
        "day": day,
        "words": words,
        "orders": [(word, ORDER_WORDS[word], word == order) for word in ORDERS],
        "rows": [BreakRow(slip, often[slip.id]) for slip in found],
        "of_all": len(bedside.slips),
    }
    return _show(request, "breaks.html", context, asked)


@require_safe
@never_cache
def recovery(request: HttpRequest, key: str, slip: str) -> HttpResponse:
    """Show what to do after one break, at each step; ``branch`` names the procedure."""
    asked = asked_of(request)
    found = _find(asked, key, slip, request.GET.get("branch", ""))
    bedside = found.stage.bedside
    context = {
        "key": key,
        "policy": found.stage.policy,
        "day": found.stage.day,
        "row": BreakRow(found.slip, often_of(bedside, found.stage.day)[slip]),
        "source": bedside.sources[found.slip.source],
        "choices": [(each, each is found.chosen) for each in found.choices],
        **_worked_out(found, key),
    }
    return _show(request, "recovery.html", context, asked)


@require_safe
@never_cache
def steps(request: HttpRequest, key: str, slip: str) -> HttpResponse:
    """Show how far the recovery steps are, or the steps; a part of their page."""
    found = _find(asked_of(request), key, slip, request.GET.get("branch", ""))
    return render(request, f"{TEMPLATES}/steps.html", _worked_out(found, key))


class _Found(NamedTuple):
    one: SetToRead
    stage: Stage
    slip: Slip
    choices: tuple[BranchChoice, ...]
    chosen: BranchChoice | None


def _find(asked: ReadingRequest, key: str, slip: str, branch: str) -> _Found:
    one, day = asked.set_of(key), _today(asked)
    bedside = bedside_of(one.policy, day)
    found = next((each for each in bedside.slips if each.id == slip), None)
    if found is None:
        raise Http404
    stage = Stage(one.policy, bedside, day)
    choices = _choices(stage, found)
    return _Found(one, stage, found, choices, _chosen(choices, branch))


def _worked_out(found: _Found, key: str) -> dict[str, object]:
    """Return the answers, or how far the work is that a guide would wait for, too."""
    chosen, stage = found.chosen, found.stage
    if chosen is None:
        return {"chosen": None}
    set_name = found.one.wards[0].policy_set if found.one.wards else stage.policy.id
    question = BranchKey.of(chosen.branch, often_of(stage.bedside, stage.day))
    so_far = KeptWays().of(set_name, stage.policy, question)
    if so_far.done is None:
        href = reverse("recovery-steps", args=[key, found.slip.id])
        return {
            "chosen": chosen,
            "failed": so_far.failed,
            "nobody": so_far.nobody,
            "is_under_way": not so_far.failed,
            "progress": so_far.progress,
            "steps_href": f"{href}?branch={chosen.key}",
        }
    written = [act.step for act in chosen.branch.acts]
    said = {step.id: StepSaid(n, step.says) for n, step in enumerate(written, 1)}
    ids = [step.id for step in written]
    answers = by_steps(found.slip.id, so_far.done, stage.bedside, ids)
    return {"chosen": chosen, "answers": [_answer(each, said) for each in answers]}


def _answer(found: AtSteps, said: dict[str, StepSaid]) -> StepsAlike:
    instead = found.unfinished
    return StepsAlike(
        tuple(said[step] for step in found.steps),
        found,
        said.get(found.told.then or ""),
        said.get(instead.then or "") if instead else None,
    )


def _choices(stage: Stage, slip: Slip) -> tuple[BranchChoice, ...]:
    """Return the named branches in which it can happen, the dressing change first."""
    change = change_procedure(stage.bedside)
    written = stage.bedside.procedures.values()
    return tuple(
        BranchChoice(
            f"{procedure.id}-{place}", f"{procedure.title}: {branch.name}", branch
        )
        for procedure in sorted(written, key=lambda one: one is not change)
        for place, branch in enumerate(named_branches(procedure, stage), 1)
        if can_happen(stage.bedside, branch, slip)
    )


def _chosen(choices: Sequence[BranchChoice], key: str) -> BranchChoice | None:
    if not key:
        return next(iter(choices), None)
    found = next((each for each in choices if each.key == key), None)
    if found is None:
        raise Http404
    return found


def _today(asked: ReadingRequest) -> date:
    return page_context().clock.now().astimezone(zone_of(asked.wards, "")).date()


def _show(
    request: HttpRequest,
    template: str,
    context: dict[str, object],
    asked: ReadingRequest,
) -> HttpResponse:
    return show(
        request,
        f"{TEMPLATES}/{template}",
        context,
        asked,
    )
