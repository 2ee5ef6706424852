"""Check the order of a case's instants: none after the asked one, none before birth."""

from __future__ import annotations

from datetime import datetime

from lumenkeep.errors import Fault
from lumenkeep.model import Case, Unknown


def faults_after(case: Case, at: datetime, name: str) -> list[Fault]:
    """Return a fault for each birth, insertion or change later than ``at`` (UTC)."""
    line = case.line
    born = case.child.born
    stated: list[tuple[str, object]] = [
        ("child.born", born if isinstance(born, Unknown) else born.earliest),
        ("line.inserted", line.inserted),
        ("line.dressing.applied", line.dressing.applied),
        ("line.connectors_changed", line.connectors_changed),
        ("line.needle_changed", line.needle_changed),
        ("line.reviewed", line.reviewed),
        ("line.inspected", line.inspected),
    ]
    if not isinstance(line.sets, Unknown):
        stated += [
            (f"line.sets[{position}].changed", hung.changed)
            for position, hung in enumerate(line.sets)
        ]
    return [
        Fault(
            "case-later-than-asked",
            f"'{key}' is later than the instant asked about.",
            f"{name}: {key}",
            "correct it, or ask about a later instant with --at",
        )
        for key, instant in stated
        if isinstance(instant, datetime) and instant > at
    ]


def faults_of_order(case: Case, name: str) -> list[Fault]:
    """Return a fault for each pair of instants that contradict each other."""
    born, line = case.child.born, case.line
    pairs: list[tuple[str, object, str, object]] = [
        ("line.dressing.applied", line.dressing.applied, "line.inserted", line.inserted)
    ]
    if not isinstance(born, Unknown):
        pairs.append(("line.inserted", line.inserted, "child.born", born.earliest))
        pairs += [
            (f"child.weights[{position}].at", weight.at, "child.born", born.earliest)
            for position, weight in enumerate(case.child.weights)
        ]
    return [
        Fault(
            "case-contradiction",
            f"'{later}' lies before '{earlier}'.",
            f"{name}: {later}",
            f"correct it, or correct '{earlier}'",
        )
        for later, instant, earlier, limit in pairs
        if isinstance(instant, datetime)
        and isinstance(limit, datetime)
        and instant < limit
    ]
