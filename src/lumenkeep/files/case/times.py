"""Check what a case says against itself: the order of its instants, mass against age."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.core.model import Case, Unknown, age_in_words, grams_in_words
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from lumenkeep.core.policy.bounds import Bound


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


def faults_of_mass(case: Case, name: str, bound: Bound) -> list[Fault]:
    """Return a fault for each weighing that no child of that age can show."""
    born = case.child.born
    if isinstance(born, Unknown):
        return []
    faults = []
    for position, weight in enumerate(case.child.weights):
        low, high = bound.of_child(born, weight.at)
        if weight.at < born.earliest or low <= weight.grams <= high:
            continue
        age = age_in_words((weight.at - born.earliest).total_seconds())
        key = f"child.weights[{position}].g"
        faults.append(
            Fault(
                "case-contradiction",
                f"No child of {age} has a mass of {grams_in_words(weight.grams)}: at "
                f"that age {grams_in_words(low)} to {grams_in_words(high)} is believed.",
                f"{name}: {key}",
                "check the unit (grams), the time of the weighing and the birth",
            )
        )
    return faults
