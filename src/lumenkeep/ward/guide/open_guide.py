"""Open a guide for one procedure on one line, find the one open, or give one up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, timedelta
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.procedure import Bedside
from lumenkeep.core.model import NOT_GIVEN, People, Person
from lumenkeep.core.planning import Plan, plan_change
from lumenkeep.core.reading.line_reading import Hold
from lumenkeep.core.recovery.chosen_branch import (
    GuidedBranch,
    guided_branch,
    needs_assistant,
)
from lumenkeep.core.recovery.handful import often_of
from lumenkeep.core.recovery.ways_of_branch import BranchKey
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import ChartError, Fault, InputError
from lumenkeep.ward.chart.line_at_hand import (
    LineAtHand,
    do_not_use,
    line_at_hand,
    line_in_place,
    shares_bed,
)
from lumenkeep.ward.guide.bundle.assemble import Opened, guide_head, with_ways
from lumenkeep.ward.guide.bundle.band import line_part
from lumenkeep.ward.guide.facts_since import mark_of
from lumenkeep.ward.guide.records import GIVEN_UP, Closing, RunRecord
from lumenkeep.ward.site.people import StaffRecord
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.store.policies import PoliciesInForce
    from lumenkeep.ward.chart.store.repository import ChartRepository, StaffRepository
    from lumenkeep.ward.guide.records import Ways
    from lumenkeep.ward.guide.repository import RunRepository
    from lumenkeep.ward.site.people import Clock

OPEN_FOR = timedelta(hours=12)
"""A guide opened longer ago than a long shift is nobody's work under way."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What somebody wants to be guided through.

    Attributes
    ----------
    operator
        Who is signed in and works.
    assistant
        Key of the second person; empty for none.
    answers
        To what is asked beforehand, by fact (`chosen_branch.ASKED`).
    tablet
        Which device asks; empty where it does not say.
    why_href
        Address of the plan.
    """

    line: str
    procedure: str
    operator: StaffRecord
    assistant: str
    answers: Mapping[str, str]
    tablet: str
    why_href: str


@dataclass(frozen=True, slots=True)
class PreparedGuide:
    """What a guide would run, before it is opened."""

    found: LineAtHand
    bedside: Bedside
    plan: Plan
    chosen: GuidedBranch
    question: BranchKey
    assistant: StaffRecord | None
    do_not_use: tuple[Hold, ...]


@dataclass(frozen=True, slots=True)
class OpenGuide:
    """An opened guide.

    Attributes
    ----------
    bundle
        Everything for the bedside; None while ways back are worked out.
    progress
        How far they are, 0 to 1.
    failed
        Why there will be none; empty while all is well.
    is_new
        False where the same two had it open.
    """

    run: RunRecord
    bundle: dict[str, Any] | None
    progress: float
    failed: str
    is_new: bool


def prepare_guide(
    at: WardContext, wanted: Wanted, *, alone: bool = False
) -> PreparedGuide:
    """Return what a guide would run.

    Parameters
    ----------
    alone
        Whether the assistant may still be missing.

    Raises
    ------
    ChartError
        Every fault at once: ``guide-no-assistant``, ``guide-same-person``,
        ``guide-no-such-person``, and those of `guided_branch`; the line's own as
        `line_in_place`.
    PolicyError
        The procedure files are faulty, or there is no such procedure.
    """
    found, now = line_in_place(at, wanted.line), at.clock.now()
    today = found.ward.day_of(now)
    bedside = bedside_of(found.policy, today)
    people = at.staff.people(found.ward.key)
    assistant = next((one for one in people if one.key == wanted.assistant), None)
    case = replace(
        found.record.state.case,
        people=People(_glove(wanted.operator), _glove(assistant)),
    )
    plan = plan_change(case, now, found.policy)
    faults = _faults_of_people(wanted, assistant, bedside, alone=alone)
    try:
        chosen = guided_branch(
            found.policy, bedside, case, plan, wanted.procedure, wanted.answers
        )
    except InputError as error:
        raise ChartError([*faults, *error.faults]) from error
    if faults:
        raise ChartError(faults)
    question = BranchKey.of(chosen.branch, often_of(bedside, today))
    held = do_not_use(at, found)
    return PreparedGuide(found, bedside, plan, chosen, question, assistant, held)


def open_guide(
    at: WardContext, runs: RunRepository, ways: Ways, *, wanted: Wanted, key: str
) -> OpenGuide:
    """Open a guide under ``key``, or return the one that the same two have open.

    The same: opened within `OPEN_FOR`, by the same two people in whatever roles, with
    the same steps and the same plan.

    Raises
    ------
    ChartError, PolicyError
        As `prepare_guide`.
    """
    ready = prepare_guide(at, wanted)
    now = at.clock.now()
    with runs.exclusively():
        others = [
            run
            for run in runs.open_on(wanted.line, wanted.procedure)
            if now - run.opened_at < OPEN_FOR
        ]
        same = next((run for run in others if _is_same(run, ready, wanted)), None)
        run = same or _new_run(at, ready, wanted, key)
        if same is None:
            runs.open(run)
    other = same if same is not None else next(iter(others), None)
    if other is not None and other.tablet and other.tablet == wanted.tablet:
        other = None
    so_far = ways.of(run.set_name, ready.found.policy, run.question)
    bundle = None
    if so_far.done is not None:
        bundle = with_ways(_with_names(run.head, ready.found, at.chart), so_far.done)
        bundle["also_open"] = _also_open(other, at.staff)
    return OpenGuide(run, bundle, so_far.progress, so_far.trouble, same is None)


def open_again(at: WardContext, ways: Ways, run: RunRecord) -> OpenGuide:
    """Return a run with its bundle, or how far its ways back are.

    Raises
    ------
    ChartError
        Its line is not on the chart any more; ``guide-old-policy``: the policy that
        it was opened under is neither in force nor on record.
    """
    found = line_at_hand(at, run.line)
    so_far = ways.of(run.set_name, _policy_of(run, found, at.policies), run.question)
    bundle = None
    if so_far.done is not None:
        bundle = with_ways(_with_names(run.head, found, at.chart), so_far.done)
    return OpenGuide(run, bundle, so_far.progress, so_far.trouble, is_new=False)


def _policy_of(run: RunRecord, found: LineAtHand, policies: PoliciesInForce) -> Policy:
    """Return the policy under which a run was opened."""
    digest = run.head["plan"]["policy"]["digest"]
    if found.policy.digest == digest:
        return found.policy
    old = policies.in_force_at(run.set_name, run.opened_at, found.ward.key)
    if old is None or old.digest != digest:
        raise ChartError(
            [
                Fault(
                    "guide-old-policy",
                    "The ward's policy was changed after this guide was opened.",
                    "guide",
                    "prepare it again: the steps may be others",
                )
            ]
        )
    return old


def _new_run(
    at: WardContext, ready: PreparedGuide, wanted: Wanted, key: str
) -> RunRecord:
    found, now = ready.found, at.clock.now()
    opened = Opened(
        run=key,
        operator=wanted.operator,
        assistant=ready.assistant,
        mark=mark_of(found),
        at=now,
        why_href=wanted.why_href,
        do_not_use=ready.do_not_use,
    )
    entries = at.chart.entries(wanted.line)
    head = guide_head(opened, found, ready.plan, ready.chosen, entries)
    return RunRecord(
        key=key,
        line=wanted.line,
        procedure=wanted.procedure,
        set_name=found.ward.policy_set,
        opened_at=now,
        operator=wanted.operator.key,
        assistant=ready.assistant.key if ready.assistant else None,
        tablet=wanted.tablet,
        # No name of a child is kept: it is put in when the bundle is sent.
        head={**head, "line": {"key": wanted.line}},
        question=ready.question,
    )


def _with_names(
    head: Mapping[str, Any], found: LineAtHand, chart: ChartRepository
) -> dict[str, Any]:
    record = found.record
    shared = shares_bed(chart, found.ward.key, record.bed, record.child)
    return {**head, "line": line_part(found, shares_bed=shared)}


def _is_same(run: RunRecord, ready: PreparedGuide, wanted: Wanted) -> bool:
    assistant = ready.assistant.key if ready.assistant else None
    plan = run.head["plan"]
    return (
        {run.operator, run.assistant} == {wanted.operator.key, assistant}
        and run.question == ready.question
        and plan["sentence"] == ready.plan.sentence
        and plan["policy"]["digest"] == ready.found.policy.digest
    )


def _also_open(
    other: RunRecord | None, staff: StaffRepository
) -> dict[str, str] | None:
    if other is None:
        return None
    names = {one.key: one.name for one in staff.people(None)}
    return {
        "since": other.opened_at.astimezone(UTC).isoformat(),
        "by_name": names.get(other.operator, "somebody"),
        "run": other.key,
    }


def _glove(person: StaffRecord | None) -> Person:
    return Person((person.glove if person else None) or NOT_GIVEN)


def _faults_of_people(
    wanted: Wanted, assistant: StaffRecord | None, bedside: Bedside, *, alone: bool
) -> list[Fault]:
    procedure = bedside.procedures.get(wanted.procedure)
    if wanted.assistant and wanted.assistant == wanted.operator.key:
        return [
            Fault(
                "guide-same-person",
                "Operator and assistant are the same person.",
                "assistant",
                "choose who assists: one for the line, one for the child",
            )
        ]
    if wanted.assistant and assistant is None:
        return [
            Fault(
                "guide-no-such-person",
                "Nobody on this ward has that key.",
                "assistant",
                "choose who assists from the list",
            )
        ]
    is_asked = procedure is not None and needs_assistant(procedure) and not alone
    if procedure is not None and is_asked and not wanted.assistant:
        return [
            Fault(
                "guide-no-assistant",
                f"{procedure.title} takes two people, and nobody is named to assist.",
                "assistant",
                "choose who assists",
            )
        ]
    return []


REASON = "reason"


def give_up_guide(
    runs: RunRepository, clock: Clock, *, run: RunRecord, reason: str, by: StaffRecord
) -> Closing:
    """Close a run; given up twice, it stays as it was closed first.

    Raises
    ------
    ChartError
        ``chart-missing`` without a reason; ``guide-written`` where it is charted.
    """
    form = Typed({REASON: reason})
    why = form.text(REASON, "Why nothing was done", needed=True) or ""
    form.raise_faults()
    with runs.exclusively():
        now = runs.run(run.key)
        closing = now.closing if now is not None else None
        if closing is None:
            closing = Closing(GIVEN_UP, clock.now(), by.key, why)
            runs.close(run.key, closing)
            return closing
    if closing.how != GIVEN_UP:
        raise ChartError(
            [
                Fault(
                    "guide-written",
                    "What was done with this guide is on the chart already.",
                    "guide",
                    "open the line; take the entry back there if it is wrong",
                )
            ]
        )
    return closing
