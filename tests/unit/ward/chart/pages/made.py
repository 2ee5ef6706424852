"""Lines and tasks made by hand for the tests of what pages draw."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from lumenkeep.core.due.task import DueTask
from lumenkeep.core.entries import LineState
from lumenkeep.core.model import NEVER_CHARTED, Case, Child, Dressing, Line
from lumenkeep.ward.chart.records import LineRecord

NOW = datetime(2026, 11, 24, 9, 40, tzinfo=UTC)


def hours(number: float) -> timedelta:
    return timedelta(hours=number)


def record(
    key: str = "line-1",
    *,
    applied: float | None = -40,
    changes: tuple[tuple[float, str], ...] = (),
    name: str = "Demo Ash",
    bed: str = "09",
    last_entry: int = 1,
    **line: Any,
) -> LineRecord:
    """A line whose dressing was put on so many hours from now (negative: ago)."""
    worn = NEVER_CHARTED if applied is None else NOW + hours(applied)
    case = Case(
        Child(),
        Line(dressing=Dressing("transparent", worn, ()), kind="picc", **line),
        zone=UTC,
    )
    state = LineState(
        case, tuple((NOW + hours(at), why) for at, why in changes), (), None
    )
    return LineRecord(key, "child-1", name, "wren", bed, "left", state, last_entry)


def task(
    name: str = "dressing",
    state: str = "later",
    *,
    due: float | None = None,
    over: float | None = None,
    not_before: float | None = None,
    why: tuple[str, ...] = (),
    label: str = "Dressing",
    kind: str | None = None,
) -> DueTask:
    """A task due so many hours from now."""

    def at(number: float | None) -> datetime | None:
        return None if number is None else NOW + hours(number)

    return DueTask(
        name, label, kind, state, None, at(not_before), at(due), at(over), why, (), ()
    )
