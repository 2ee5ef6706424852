"""The page to prepare a guide: who assists, what must be known, and what stands in the way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.recovery.chosen_branch import (
    fits_line,
    guided_branch,
    is_urgent,
    needs_assistant,
)
from lumenkeep.core.recovery.ways_of_branch import BranchKey
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import InputError
from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.pages.context import Asker, page_context, show
from lumenkeep.ward.chart.pages.line_head import find_line, line_head, must_be_in
from lumenkeep.ward.chart.pages.shown_form import holds_at
from lumenkeep.ward.guide.open_guide import Wanted, prepare_guide
from lumenkeep.ward.guide.pages.context import ways
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.pages.shapes import Group, Link, Option

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.recovery.chosen_branch import BranchQuestion
    from lumenkeep.errors import Fault
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.guide.open_guide import PreparedGuide

CHANGE = "dressing-change"
QUESTIONS = {
    "soil": (
        "Is there crust, blood or glue on the skin?",
        {"no": "No", "yes": "Yes, or not to be seen yet"},
    ),
    "securement": (
        "Does the securement stay?",
        {"keep": "It stays", "change": "A new one is put on"},
    ),
    "findings": (
        "How has the dressing failed?",
        {
            "loose": "An edge is up, the exit point is still sealed",
            "damp": "The exit point is open, or it is wet",
        },
    ),
    "lumens": (
        "How many lumens has the line?",
        {str(count): counted(count, "lumen", "lumens") for count in range(1, 6)},
    ),
    "technique": (
        "Which technique?",
        {
            "non-touch": "Clean gloves, key parts touched by nothing",
            "sterile": "Masks, a field and sterile gloves",
        },
    ),
}


@require_safe
@never_cache
@or_say_why
def prepare(request: HttpRequest, key: str) -> HttpResponse:
    """Show what a guide needs; ``procedure`` names it, ``with`` the assistant."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    must_be_in(found)
    procedure = request.GET.get("procedure", CHANGE)
    wanted = Wanted(
        line=key,
        procedure=procedure,
        operator=person,
        assistant=request.GET.get("with", ""),
        answers={},
        tablet="",
        why_href="",
    )
    ready: PreparedGuide | None = None
    faults: tuple[Fault, ...] = ()
    try:
        # Whoever assists is still to be chosen: the plan does not hang on it.
        ready = prepare_guide(at, wanted, alone=True)
    except InputError as error:
        faults = error.faults
    if ready is not None:
        begin_ways(ready)
    people = [one for one in at.staff.people(found.ward.key) if one.key != person.key]
    context = {
        "line": line_head(at, found, at.clock.now()),
        "person": person,
        "procedure": procedure,
        "people": [
            Option(one.key, one.name, one.key == wanted.assistant) for one in people
        ],
        "others": guide_links(found, procedure),
        "faults": faults,
        "holds": holds_at(at, found, at.clock.now()),
        "asks_why": ready is not None and not is_urgent(ready.chosen.procedure),
        **(_ready(ready) if ready else {}),
    }
    return show(
        request,
        "lumenkeep/guide/prepare.html",
        context,
        Asker.of(person, at.chart.wards()),
        here=found.ward.key,
    )


def begin_ways(ready: PreparedGuide) -> None:
    """Begin to work out the ways back that will most likely be asked for.

    While somebody reads the page: those of the ordinary answers, the first of each.
    """
    found, chosen = ready.found, ready.chosen
    ordinary = guided_branch(
        found.policy,
        ready.bedside,
        found.record.state.case,
        ready.plan,
        chosen.procedure.id,
        {one.fact: one.words[0] for one in chosen.asked},
    )
    question = BranchKey.of(ordinary.branch, ready.question.often)
    ways().of(found.ward.policy_set, found.policy, question)


def _ready(ready: PreparedGuide) -> dict[str, object]:
    chosen, plan = ready.chosen, ready.plan
    return {
        "title": chosen.procedure.title,
        "because": chosen.procedure.because,
        "sentence": plan.sentence if plan.verdict == "plan" else "",
        "cautions": [remark.text for remark in plan.cautions],
        "questions": [_question(one) for one in chosen.asked],
        "needs_two": needs_assistant(chosen.procedure),
        "steps": counted(len(chosen.branch.acts), "step", "steps"),
        "policy": ready.found.policy,
    }


def _question(asked: BranchQuestion) -> Group[Option]:
    asks, labels = QUESTIONS[asked.fact]
    choices = [Option(word, labels.get(word, word)) for word in asked.words]
    return Group(asks, choices, asked.fact)


def guide_links(found: LineAtHand, here: str = "") -> tuple[Link, ...]:
    """Return the procedures that can be guided on a line, the dressing change first."""
    bedside = bedside_of(found.policy)
    address = reverse("guide-prepare", args=[found.record.key])
    case = found.record.state.case
    names = [
        name
        for name, written in bedside.procedures.items()
        if fits_line(written, bedside, case)
    ]
    return tuple(
        Link(
            bedside.procedures[name].title, f"{address}?procedure={name}", name == here
        )
        for name in sorted(names, key=lambda name: (name != CHANGE, name))
    )
