"""Read a case from a JSON or TOML file, with every fault of it reported at once."""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from math import isfinite
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import tomli

from lumenkeep.core.model import Case, Unknown, age_in_words, grams_in_words
from lumenkeep.core.model.reading import Reader
from lumenkeep.core.policy.files import world_bounds
from lumenkeep.errors import CaseError, Fault
from lumenkeep.files.case.parts import read_child, read_line, read_people

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


DEEPEST = 40


def case_from_text(
    text: str,
    name: str,
    zone: tzinfo = UTC,
    bounds: Mapping[str, Bound] | None = None,
) -> Case:
    """Return the case that a file's text states.

    Parameters
    ----------
    text
        JSON where it begins with a brace or is a JSON list, else TOML.
    name
        What messages call the file.
    zone
        Whose wall clock counts where the file names no zone and no offset.
    bounds
        What can be at all: a policy's, or the world's where none is asked about.

    Raises
    ------
    CaseError
        Every fault of the file: keys nobody knows, words outside the lists,
        impossible quantities, instants without an offset.
    """
    return case_from_mapping(_parsed(text, name), name, zone, bounds)


def _parsed(text: str, name: str) -> Mapping[str, Any]:
    kind = _kind(text, name)
    try:
        data = tomli.loads(text) if kind == "TOML" else _json(text)
    except (ValueError, RecursionError) as error:
        reason = "it is nested too deep" if isinstance(error, RecursionError) else error
        raise CaseError(
            [
                Fault(
                    "case-not-readable",
                    f"This cannot be read as {kind}: {reason}.",
                    name,
                    "mend the place named; `lumenkeep schema case` describes a case",
                )
            ]
        ) from error
    if not isinstance(data, Mapping):
        raise CaseError(
            [
                Fault(
                    "case-not-a-table",
                    "A case is a table with the keys child, line and people.",
                    name,
                    'begin with {"child": {…}, "line": {…}}',
                )
            ]
        )
    if not data and "{" not in text:
        raise CaseError(
            [
                Fault(
                    "case-empty",
                    "The case is empty: it says nothing of a child or a line.",
                    name,
                    'begin with {"child": {…}, "line": {…}}',
                )
            ]
        )
    return data


def _kind(text: str, name: str) -> str:
    """Return JSON or TOML. A bracket may open a JSON list or a TOML table."""
    if name.endswith((".toml", ".json")):
        return name[-4:].upper()
    start = text.lstrip()
    if not start.startswith("["):
        return "JSON" if start.startswith("{") else "TOML"
    try:
        json.loads(text)
    except (ValueError, RecursionError):
        return "TOML"
    return "JSON"


def _json(text: str) -> Any:
    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        keys = [key for key, _ in pairs]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise ValueError(f"the key '{twice[0]}' stands twice in one table")
        return dict(pairs)

    def finite(word: str) -> float:
        value = float(word)
        if not isfinite(value):
            raise ValueError(f"{word} is too large a number")
        return value

    def constant(word: str) -> float:
        raise ValueError(f"{word} is not a number that can be charted")

    return json.loads(
        text, object_pairs_hook=once, parse_constant=constant, parse_float=finite
    )


def case_from_mapping(
    data: Mapping[str, Any],
    name: str,
    zone: tzinfo = UTC,
    bounds: Mapping[str, Bound] | None = None,
) -> Case:
    """Return the case that a mapping states; see `case_from_text`."""
    bounds = bounds or world_bounds()
    faults: list[Fault] = []
    reader = Reader(data, f"{name}: ", faults, "case")
    named = _zone(reader)
    zone = named or _offset_in(data) or zone
    child = read_child(reader.table("child"), zone, bounds)
    line = read_line(reader.table("line"), bounds)
    people = read_people(reader.table("people"))
    reader.finish()
    case = Case(child=child, line=line, people=people, zone=zone)
    faults += faults_of_order(case, name)
    faults += faults_of_mass(case, name, bounds["mass-g"])
    if faults:
        raise CaseError(faults)
    return case


def _zone(reader: Reader) -> tzinfo | None:
    name = reader.text("zone")
    if name is None:
        return None
    try:
        return ZoneInfo(name)
    except (OSError, ValueError, LookupError):
        reader.fault(
            "unknown-zone",
            "This time zone is not known.",
            "zone",
            'write its name in the tz database, as in "America/Chicago"',
        )
        return None


def _offset_in(data: Any) -> tzinfo | None:
    """Return the offset of the first instant in the file; None where there is none.

    Without a named zone the wall clock is that of the file's own instants.
    """
    queue = deque([(data, 0)])
    while queue:
        value, depth = queue.popleft()
        if depth > DEEPEST:
            continue
        if isinstance(value, Mapping):
            queue += [(item, depth + 1) for item in value.values()]
        elif isinstance(value, list):
            queue += [(item, depth + 1) for item in value]
        elif isinstance(value, str | datetime):
            offset = _offset_of(value)
            if offset is not None:
                return timezone(offset)
    return None


def _offset_of(value: str | datetime) -> timedelta | None:
    if isinstance(value, datetime):
        return value.utcoffset()
    try:
        return datetime.fromisoformat(value).utcoffset()
    except ValueError:
        return None


def check_at(case: Case, at: datetime, name: str) -> None:
    """Check that nothing in the case lies after the instant asked about.

    Raises
    ------
    CaseError
        A birth, insertion or change later than ``at``.
    """
    faults = faults_after(case, at, name)
    if faults:
        raise CaseError(faults)
