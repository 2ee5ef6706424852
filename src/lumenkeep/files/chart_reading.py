"""Write what a chart comes to at one instant as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.model import whole_or_not
from lumenkeep.files.answer import instant, plan_as_json
from lumenkeep.files.case.mapping import case_as_mapping

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime, tzinfo

    from lumenkeep.core.reading.read_chart import ChartedLine
    from lumenkeep.core.watch.length import LengthVerdict

FACT_TABLES = ("child", "line")
MM_DIGITS = 2


def chart_as_json(
    lines: Iterable[ChartedLine], at: datetime, zone: tzinfo
) -> dict[str, Any]:
    """Return the answer to ``lumenkeep chart read --json``.

    Parameters
    ----------
    lines
        By their keys.
    at
        Instant asked about (UTC).
    zone
        Zone whose wall time instants are written in.
    """
    return {
        "at": instant(at, zone),
        "lines": [_line(line, zone) for line in lines],
    }


def _line(charted: ChartedLine, zone: tzinfo) -> dict[str, Any]:
    reading, plan = charted.reading, charted.plan
    facts = case_as_mapping(reading.state.case)
    return {
        "line": charted.line,
        "child": charted.child,
        "do_not_use": reading.is_held,
        "because": [hold.sentence for hold in reading.holds],
        "facts": {key: facts[key] for key in FACT_TABLES},
        "due": [
            {
                "task": task.task,
                "now": task.is_now,
                "at": instant(task.due_at, zone),
                "why": list(task.why),
            }
            for task in charted.tasks
        ],
        "concerns": [
            {
                "concern": concern.rule,
                "says": concern.says,
                "do_not_use": concern.is_held,
                "since": instant(concern.since, zone),
            }
            for concern in reading.concerns
        ],
        "length": _length(reading.verdict),
        "plan": None
        if plan is None
        else plan_as_json(plan, charted.tasks, zone, charted.spares, reading.holds),
    }


def _length(verdict: LengthVerdict) -> dict[str, Any]:
    shift = verdict.shift
    moved = None
    if shift is not None:
        limits = (shift.low_mm, shift.mm, shift.high_mm)
        moved = [whole_or_not(round(mm, MM_DIGITS)) for mm in limits]
    return {"judgement": verdict.state, "moved_mm": moved}
