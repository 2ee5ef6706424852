"""Plans and tasks as plain text: the answer first, then what to do, then why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.recovery.plan_spares import in_hundred
from lumenkeep.files.answer import STANDS_FOR

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, tzinfo

    from lumenkeep.core.due import DueTask
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.recovery.plan_spares import PlanSpares

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


def plan_in_words(
    plan: Plan,
    tasks: tuple[DueTask, ...],
    zone: tzinfo,
    spares: PlanSpares | None,
    *,
    extra: bool = False,
) -> str:
    """Return the plan as text for a terminal.

    Parameters
    ----------
    extra
        Whether to show every spare, and what each of them covers.
    """
    people = f"{plan.staff} staff; masks on everyone within {plan.masks_within_m:g} m"
    lines = [
        plan.sentence,
        "",
        *_part("Ask", _questions(plan)),
        *_part("Why nobody goes on alone", plan.stop_because),
        *_part("Skin", _skin(plan)),
        *_part("Dressing", _dressing(plan, zone)),
        *_part("Lay out", _supplies(plan)),
        *_part(
            "Spares, to lay out as well", _spares(spares, extra=extra) if spares else ()
        ),
        *_part("People", [people]),
        *_part("Why not", _excluded(plan)),
        *_part("This answer changes", _changes(plan, zone)),
        *_part("Cautions", [remark.text for remark in plan.cautions]),
        *_part("Look", [remark.text for remark in plan.looks]),
        *_part("Guidance disagrees; this policy decided", _disputes(plan)),
        *_part("Due", tasks_in_words(tasks, zone).split("\n")),
        "",
        f"Policy {plan.policy_set} {plan.policy_version}. {STANDS_FOR}",
    ]
    return "\n".join(lines)


def _part(title: str, lines: Sequence[str]) -> list[str]:
    return [title, *(f"  {line}" for line in lines)] if lines else []


def _questions(plan: Plan) -> list[str]:
    return [
        f"{q.ask} ({'first' if q.blocks else 'safe side taken'}) {q.because}"
        for q in plan.questions
    ]


def _skin(plan: Plan) -> list[str]:
    way = plan.antiseptic
    if way is None:
        return []
    scrub = f", {way.scrub_s} s in all" if way.scrub_s else ""
    each = f" x {way.seconds_per_swab} s" if way.seconds_per_swab else ""
    low, high = way.area_mm
    lines = [
        f"{way.label}: {way.swabs} swabs{each}{scrub}. {way.motion_words}",
        f"Area {low:g} to {high:g} mm across.",
        f"Dry at least {way.dry_s} s. {way.dry_judgement}",
    ]
    return [*lines, *(text for text in (way.residue_words, way.helper) if text)]


def _dressing(plan: Plan, zone: tzinfo) -> list[str]:
    cover = plan.dressing
    if cover is None:
        return []
    due = f"; next due {when(cover.next_due, zone)}" if cover.next_due else ""
    return [f"{cover.label}, {cover.stays_words}{due}"]


def _supplies(plan: Plan) -> list[str]:
    return [
        f"{s.count} x {s.label}{f', size {s.size}' if s.size else ''} "
        f"[{'kit' if s.in_kit else 'FETCH'}]"
        for s in plan.supplies
    ]


def _spares(spares: PlanSpares, *, extra: bool) -> list[str]:
    """Return the handful to lay out; with ``extra`` every spare, and what each buys."""
    lines = [
        f"{s.count} x {s.label}{f', size {s.size}' if s.size else ''} [SPARE] "
        f"{s.because}"
        for s in spares.handful
    ]
    lines += [said for said in (spares.says, spares.kit_says) if said]
    if not extra:
        return lines
    every = [
        f"  {s.count} x {s.label}{f', size {s.size}' if s.size else ''}: {s.because}"
        for s in spares.lines
    ]
    behind = ["Every spare, were there no kit:", *every] if every else []
    return [*lines, *behind, *_buys(spares)]


def _buys(spares: PlanSpares) -> list[str]:
    if not spares.lines:
        return []
    lines = [
        f"  {in_hundred(buys.share)}: "
        + (", ".join(f"{n} x {label}" for label, n in buys.add) or "none of them")
        for buys in spares.first
    ]
    return [
        "Slips covered with each further one, if not all can be had:",
        *lines,
        spares.assumed,
    ]


def _excluded(plan: Plan) -> list[str]:
    return [f"{e.item}: {e.because} [{e.rule}; {e.source}]" for e in plan.excluded]


def _changes(plan: Plan, zone: tzinfo) -> list[str]:
    return [
        f"{when(c.at, zone) if c.at else f'when {c.when}'}: {c.what}"
        for c in plan.changes_later
    ]


def _disputes(plan: Plan) -> list[str]:
    lines = []
    for dispute in plan.disagreements:
        lines.append(dispute.topic)
        lines += [f"  {p.source}: {p.says}" for p in dispute.positions]
    return lines


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
            + " ".join((*task.why, *(f"Ask: {ask}" for ask in task.asks)))
        )
    return "\n".join(lines)
