"""Read a surveillance timeline from a JSON file, with every fault of it at once."""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterable, Mapping
from datetime import timedelta
from math import isfinite
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.reading import Reader
from lumenkeep.core.outcomes.timeline import Timeline, WardStay
from lumenkeep.core.policy.files import world_bounds
from lumenkeep.errors import Fault, InputError
from lumenkeep.files.timeline.parts import (
    CONDITIONS,
    TRANSPLANTS,
    comes_first,
    read_birth,
    read_counts,
    read_dated,
    read_devices,
    read_findings,
    read_gut,
    read_lines,
    read_other_infections,
    read_settled,
    read_signs,
    read_specimens,
    read_stays,
)

if TYPE_CHECKING:
    from datetime import date


def timeline_from_text(text: str, name: str, protocols: Iterable[str] = ()) -> Timeline:
    """Return the timeline that a JSON text states.

    Parameters
    ----------
    text
        JSON.
    name
        What messages call the file.
    protocols
        The protocol years that may be named.

    Raises
    ------
    InputError
        Every fault of the file: unknown keys and words, impossible quantities, days
        that are none, facts that contradict each other.
    """
    if not text.strip():
        raise InputError(
            [
                Fault(
                    "timeline-empty",
                    "The timeline is empty.",
                    name,
                    'begin with {"protocol": "2025", "child": {…}}',
                )
            ]
        )
    try:
        data = json.loads(
            text,
            object_pairs_hook=_once,
            parse_constant=_no_number,
            parse_float=_finite,
        )
    except (ValueError, RecursionError) as error:
        deep = isinstance(error, RecursionError)
        raise InputError(
            [
                Fault(
                    "timeline-not-readable",
                    "This cannot be read as JSON: "
                    f"{'it is nested too deep' if deep else error}.",
                    name,
                    "mend the place named",
                )
            ]
        ) from error
    if not isinstance(data, Mapping):
        raise InputError(
            [
                Fault(
                    "timeline-not-a-table",
                    "A timeline is a table with the keys protocol, child, stays and so "
                    "on.",
                    name,
                    'begin with {"protocol": "2025", "child": {…}}',
                )
            ]
        )
    return timeline_from_mapping(data, name, protocols)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    keys = [key for key, _ in pairs]
    twice = sorted({key for key in keys if keys.count(key) > 1})
    if twice:
        raise ValueError(f"the key '{twice[0]}' stands twice in one table")
    return dict(pairs)


def _finite(word: str) -> float:
    value = float(word)
    if not isfinite(value):
        raise ValueError(f"{word} is too large a number")
    return value


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is not a number that can be charted")


def timeline_from_mapping(
    data: Mapping[str, Any], name: str, protocols: Iterable[str] = ()
) -> Timeline:
    """Return the timeline that a mapping states; see `timeline_from_text`."""
    faults: list[Fault] = []
    reader = Reader(data, f"{name}: ", faults, "timeline")
    protocol = _protocol(reader, tuple(protocols))
    child = reader.table("child")
    none = Reader({}, reader.path("child"), faults, "timeline")
    of_child = child or none
    at_birth = timedelta()
    least, most = world_bounds()["mass-g"].at_age(at_birth, at_birth)
    timeline = Timeline(
        protocol=protocol or "",
        born=read_birth(of_child),
        birthweight_g=of_child.number(
            "birthweight_g", low=least, high=most, unit="grams"
        ),
        conditions=read_dated(of_child, "conditions", CONDITIONS),
        transplants=read_dated(of_child, "transplants", TRANSPLANTS),
        stays=read_stays(reader),
        lines=read_lines(reader),
        devices=read_devices(reader),
        specimens=read_specimens(reader),
        signs=read_signs(reader),
        counts=read_counts(reader),
        gut=read_gut(reader),
        other_infections=read_other_infections(reader),
        noted=read_findings(reader),
        settled=read_settled(reader),
    )
    of_child.finish()
    reader.finish()
    faults += _contradictions(timeline, name)
    if faults:
        raise InputError(faults)
    return timeline


def _protocol(reader: Reader, known: tuple[str, ...]) -> str | None:
    raw = reader.raw("protocol")
    is_number = isinstance(raw, int) and not isinstance(raw, bool)
    value = str(raw) if is_number else reader.text("protocol", needed=True)
    if value is not None and known and value not in known:
        reader.faults.append(
            Fault(
                "timeline-no-such-protocol",
                f"There is no protocol year '{value}'.",
                reader.path("protocol"),
                "write one of: " + ", ".join(known),
            )
        )
        return None
    return value


def _contradictions(timeline: Timeline, name: str) -> list[Fault]:
    return [
        *_twice(name, "specimens", [one.id for one in timeline.specimens]),
        *_twice(name, "lines", [one.id for one in timeline.lines]),
        *_before_birth(timeline, name),
        *_two_places(timeline.stays, name),
    ]


def _twice(name: str, key: str, ids: list[str]) -> list[Fault]:
    seen: set[str] = set()
    faults = []
    for place, one in enumerate(ids):
        if one in seen:
            faults.append(
                Fault(
                    "timeline-same-id",
                    f"The id '{one}' stands twice.",
                    f"{name}: {key}[{place}].id",
                    "give each its own",
                )
            )
        seen.add(one)
    return faults


def _before_birth(timeline: Timeline, name: str) -> list[Fault]:
    if timeline.born is None:
        return []
    days: list[tuple[str, date]] = [
        *((f"stays[{n}].from", s.start.day) for n, s in enumerate(timeline.stays)),
        *(
            (f"lines[{n}].inserted", s.inserted.day)
            for n, s in enumerate(timeline.lines)
            if s.inserted is not None
        ),
        *((f"specimens[{n}].at", s.at.day) for n, s in enumerate(timeline.specimens)),
        *((f"signs[{n}].at", s.at.day) for n, s in enumerate(timeline.signs)),
        *((f"counts[{n}].at", s.at.day) for n, s in enumerate(timeline.counts)),
        *((f"gut[{n}].at", s.at.day) for n, s in enumerate(timeline.gut)),
        *((f"findings[{n}].at", s.at.day) for n, s in enumerate(timeline.noted)),
        *(
            (f"child.transplants[{n}].on", s.on)
            for n, s in enumerate(timeline.transplants)
        ),
    ]
    return [
        Fault(
            "timeline-contradiction",
            f"'{key}' ({day}) lies before 'child.born'.",
            f"{name}: {key}",
            "correct it, or correct 'child.born'",
        )
        for key, day in days
        if day < timeline.born
    ]


def _two_places(stays: tuple[WardStay, ...], name: str) -> list[Fault]:
    """Return a fault for each inpatient stay that begins before another has ended."""
    placed = [(number, stay) for number, stay in enumerate(stays) if stay.is_inpatient]
    placed.sort(key=lambda pair: pair[1].start)
    faults = []
    for (first, earlier), (second, later) in itertools.pairwise(placed):
        has_left = earlier.end is not None and comes_first(earlier.end, later.start)
        if not has_left:
            faults.append(
                Fault(
                    "timeline-contradiction",
                    f"'stays[{second}]' begins ({later.start}) before 'stays[{first}]' "
                    f"has ended ({earlier.end or 'still there'}).",
                    f"{name}: stays[{second}].from",
                    f"correct it, or correct 'stays[{first}].to'",
                )
            )
    return faults
