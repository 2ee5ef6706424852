"""Plans and tasks as plain text: the answer first, then what to do, then why."""

from __future__ import annotations

from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from lumenkeep.exchange.answer import STANDS_FOR

if TYPE_CHECKING:
    from lumenkeep.due import DueTask
    from lumenkeep.planning import Plan

STATE_WORDS = {
    "overdue": "OVERDUE",
    "due": "NOW",
    "may-now": "may be done now",
    "too-early": "too early",
    "later": "later",
    "on-finding": "when it fails",
}


def when(at: datetime | None, zone: tzinfo) -> str:
    """Return an instant as day and wall time, or a dash."""
    return "-" if at is None else at.astimezone(zone).strftime("%a %d %b %Y %H:%M")


def plan_in_words(plan: Plan, tasks: tuple[DueTask, ...], zone: tzinfo) -> str:
    """Return the plan as text for a terminal."""
    lines = [plan.sentence, ""]
    for question in plan.questions:
        mark = "must" if question.blocks else "safe side taken"
        lines.append(f"  ? {question.ask} ({mark}) {question.because}")
    lines += [f"  ! {text}" for text in plan.stop_because]
    way = plan.antiseptic
    if way is not None:
        scrub = f", {way.scrub_s} s in all" if way.scrub_s else ""
        each = f" x {way.seconds_per_swab} s" if way.seconds_per_swab else ""
        low, high = way.area_mm
        lines += [
            "Skin",
            f"  {way.label}: {way.swabs} swabs{each}{scrub}. {way.motion_words}",
            f"  Area {low:g} to {high:g} mm across.",
            f"  Dry at least {way.dry_s} s. {way.dry_judgement}",
        ]
        lines += [f"  {text}" for text in (way.residue_words, way.helper) if text]
    if plan.dressing is not None:
        cover = plan.dressing
        lines += [
            "Dressing",
            f"  {cover.label}, {cover.stays_words}; next due {when(cover.next_due, zone)}",
        ]
    if plan.supplies:
        lines.append("Lay out")
    for supply in plan.supplies:
        place = "kit" if supply.in_kit else "FETCH"
        size = f", size {supply.size}" if supply.size else ""
        lines.append(f"  {supply.count} x {supply.label}{size} [{place}]")
    lines += [
        "People",
        f"  {plan.staff} staff; masks on everyone within {plan.masks_within_m:g} m",
    ]
    if plan.excluded:
        lines.append("Why not")
    lines += [
        f"  {e.item}: {e.because} [{e.rule}; {e.source}]" for e in plan.excluded
    ]
    if plan.changes_later:
        lines.append("This answer changes")
    for change in plan.changes_later:
        moment = when(change.at, zone) if change.at else f"when {change.when}"
        lines.append(f"  {moment}: {change.what}")
    for title, remarks in (("Cautions", plan.cautions), ("Look", plan.looks)):
        if remarks:
            lines.append(title)
        lines += [f"  {remark.text}" for remark in remarks]
    if plan.disagreements:
        lines.append("Guidance disagrees; this policy decided")
    for dispute in plan.disagreements:
        lines.append(f"  {dispute.topic}")
        lines += [f"    {p.source}: {p.says}" for p in dispute.positions]
    lines += ["Due", *(f"  {line}" for line in tasks_in_words(tasks, zone).split("\n"))]
    lines += ["", f"Policy {plan.policy_set} {plan.policy_version}. {STANDS_FOR}"]
    return "\n".join(lines)


def tasks_in_words(tasks: tuple[DueTask, ...], zone: tzinfo) -> str:
    """Return the tasks as text, one a line."""
    lines = []
    for task in tasks:
        kind = f" ({task.kind})" if task.kind else ""
        window = f"by {when(task.due_at, zone)}" if task.due_at else "no fixed day"
        if task.not_before:
            window = f"not before {when(task.not_before, zone)}, {window}"
        lines.append(
            f"{STATE_WORDS[task.state]}: {task.label}{kind}, {window}. "
            + " ".join(task.why)
        )
    return "\n".join(lines)
