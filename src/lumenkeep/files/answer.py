"""Write a change plan and what is due as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.due import dressing_task
from lumenkeep.core.model import whole_or_not
from lumenkeep.core.reading.line_reading import carried

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime, tzinfo

    from lumenkeep.core.due import DueTask
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.planning.plan import Fired, Technique
    from lumenkeep.core.reading.line_reading import Hold
    from lumenkeep.core.recovery.plan_spares import PlanSpares, SpareLine

STANDS_FOR = (
    "Decision support: the hospital's own policy and the licensed person at the "
    "bedside decide."
)

SHARE_DIGITS = 3


def instant(at: datetime | None, zone: tzinfo) -> str | None:
    """Return an instant as ISO text in the wall time of ``zone``, or None."""
    return None if at is None else at.astimezone(zone).isoformat(timespec="seconds")


def plan_as_json(
    plan: Plan,
    tasks: tuple[DueTask, ...],
    zone: tzinfo,
    spares: PlanSpares | None = None,
    holds: Iterable[Hold] = (),
) -> dict[str, Any]:
    """Return the answer to ``lumenkeep plan --json``.

    Parameters
    ----------
    plan
        The change plan.
    tasks
        What is due on the line at the same instant.
    zone
        Zone whose wall time instants are written in.
    spares
        What to lay out beyond the plan's own supplies.
    holds
        Why the line is not to be used.
    """
    return {
        "verdict": plan.verdict,
        "sentence": plan.sentence,
        "do_not_use": carried(holds),
        "at": instant(plan.at, zone),
        "antiseptic": _technique(plan.antiseptic) if plan.antiseptic else None,
        "until_known": plan.until_known,
        "dressing": _dressing(plan, zone),
        "due": _due(tasks, zone),
        "excluded": [
            {
                "agent": e.item,
                "rule": e.rule,
                "because": e.because,
                "source": e.source,
            }
            for e in plan.excluded
        ],
        "not_for_this_child": [
            {"item": e.item, "rule": e.rule, "because": e.because, "source": e.source}
            for e in plan.not_for_this_child
        ],
        "questions": [
            {
                "fact": q.fact,
                "ask": q.ask,
                "because": q.because,
                "rules": list(q.rules),
                "blocks": q.blocks,
            }
            for q in plan.questions
        ],
        "changes_later": [
            {"at": instant(c.at, zone), "what": c.what}
            if c.at is not None
            else {"when": c.when, "what": c.what}
            for c in plan.changes_later
        ],
        "supplies": [
            {
                "item": s.item,
                "label": s.label,
                "count": s.count,
                "in_kit": s.in_kit,
                "size": s.size,
                "because": s.because,
                "source": s.source,
                "spare": False,
            }
            for s in plan.supplies
        ]
        + (_spare_lines(spares.handful) if spares else []),
        "spares": _spares(spares) if spares else None,
        "staff": plan.staff,
        "roles": [
            {
                "role": r.id,
                "label": r.label,
                "does": r.does,
                "gloves": r.gloves,
                "glove_size": r.glove_size,
            }
            for r in plan.roles
        ],
        "masks_within_m": plan.masks_within_m,
        "cautions": [remark.text for remark in plan.cautions],
        "look_at": [remark.text for remark in plan.looks],
        "chart": [
            {
                "field": c.id,
                "label": c.label,
                "kind": c.kind,
                "required": c.required,
                "low": c.low,
                "high": c.high,
            }
            for c in plan.chart
        ],
        "disagreements": [
            {
                "id": d.id,
                "topic": d.topic,
                "because": d.because,
                "about": list(d.about),
                "positions": [
                    {"source": p.source, "title": p.title, "says": p.says}
                    for p in d.positions
                ],
                "decided_by": f"{plan.policy_set} {plan.policy_version}",
            }
            for d in plan.disagreements
        ],
        "call": plan.call,
        "stop_because": list(plan.stop_because),
        "rules": {
            "fired": [_fired(rule) for rule in plan.fired],
            "undecided": [_fired(rule) for rule in plan.undecided],
        },
        "policy": {
            "set": plan.policy_set,
            "version": plan.policy_version,
            "title": plan.policy_title,
        },
        "stands_for": STANDS_FOR,
    }


def _spare_lines(lines: Iterable[SpareLine]) -> list[dict[str, Any]]:
    return [
        {
            "item": line.item,
            "label": line.label,
            "count": line.count,
            "in_kit": False,
            "size": line.size,
            "because": line.because,
            "source": line.source,
            "spare": True,
        }
        for line in lines
    ]


def _spares(spares: PlanSpares) -> dict[str, Any]:
    return {
        "says": spares.says,
        "assumed": spares.assumed,
        "kit_says": spares.kit_says,
        "covers": round(spares.covers, SHARE_DIGITS),
        "covers_kit_closed": round(spares.covers_closed, SHARE_DIGITS),
        "kit_holds": [
            {"label": label, "count": count} for label, count in spares.kit_holds
        ],
        "all": _spare_lines(spares.lines),
        "first": [
            {
                "add": [{"label": label, "count": count} for label, count in buys.add],
                "covers": round(buys.share, SHARE_DIGITS),
            }
            for buys in spares.first
        ],
    }


def _technique(way: Technique) -> dict[str, Any]:
    return {
        "agent": way.agent,
        "label": way.label,
        "swabs": way.swabs,
        "seconds_per_swab": way.seconds_per_swab,
        "scrub_s": way.scrub_s,
        "dry_s": way.dry_s,
        "dry_judgement": way.dry_judgement,
        "motion": way.motion,
        "motion_words": way.motion_words,
        "area_mm": [whole_or_not(edge) for edge in way.area_mm],
        "residue_removed_with": way.residue_removed_with,
        "residue_words": way.residue_words,
        "helper": way.helper,
        "because": list(way.because),
        "rules": list(way.rules),
    }


def _dressing(plan: Plan, zone: tzinfo) -> dict[str, Any] | None:
    cover = plan.dressing
    if cover is None:
        return None
    return {
        "kind": cover.kind,
        "label": cover.label,
        "stays_h": None if cover.stays_h is None else whole_or_not(cover.stays_h),
        "stays": cover.stays_words,
        "next_due": instant(cover.next_due, zone),
        "rule": cover.rule,
        "source": cover.source,
    }


def _due(tasks: tuple[DueTask, ...], zone: tzinfo) -> dict[str, Any]:
    dressing = dressing_task(tasks)
    if dressing is None:
        return {"now": False, "at": None, "why": [], "state": None}
    return {
        "now": dressing.is_now,
        "at": instant(dressing.due_at, zone),
        "why": list(dressing.why),
        "state": dressing.state,
        "overdue_since": instant(dressing.overdue_since, zone),
    }


def _fired(rule: Fired) -> dict[str, Any]:
    return {
        "rule": rule.rule,
        "because": rule.because,
        "source": rule.source,
        "how_known": rule.how,
        "where": rule.where,
    }


def tasks_as_json(
    tasks: tuple[DueTask, ...],
    at: datetime,
    zone: tzinfo,
    policy: tuple[str, str],
    holds: Iterable[Hold] = (),
) -> dict[str, Any]:
    """Return the answer to ``lumenkeep due --json``.

    Parameters
    ----------
    tasks
        The line's tasks, the most urgent first.
    at
        Instant asked about (UTC).
    zone
        Zone whose wall time instants are written in.
    policy
        Set and version.
    holds
        Why the line is not to be used.
    """
    return {
        "at": instant(at, zone),
        "do_not_use": carried(holds),
        "now": any(task.is_now for task in tasks),
        "tasks": [
            {
                "task": task.task,
                "label": task.label,
                "kind": task.kind,
                "state": task.state,
                "now": task.is_now,
                "since": instant(task.since, zone),
                "not_before": instant(task.not_before, zone),
                "due_from": instant(task.not_before or task.due_at, zone),
                "due_at": instant(task.due_at, zone),
                "overdue_since": instant(task.overdue_since, zone),
                "why": list(task.why),
                "ask": list(task.asks),
                "rules": list(task.rules),
                "sources": list(task.sources),
            }
            for task in tasks
        ],
        "policy": {"set": policy[0], "version": policy[1]},
        "stands_for": STANDS_FOR,
    }
