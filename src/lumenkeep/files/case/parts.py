"""Read the child, the line and the people of a case file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, tzinfo
from typing import Any

from lumenkeep.core.model import (
    NOT_GIVEN,
    SAID_UNKNOWN,
    Birth,
    Child,
    Dressing,
    Fact,
    Finding,
    Gestation,
    InfusionSet,
    Line,
    People,
    Person,
    Unknown,
    Weight,
)
from lumenkeep.core.model.closed_facts import ClosedFact, stated_in
from lumenkeep.core.model.quantities import DAYS_PER_WEEK
from lumenkeep.core.model.reading import Reader, one_of, shown
from lumenkeep.core.model.words import DRESSINGS, FINDINGS, SET_KINDS
from lumenkeep.core.policy.bounds import Bound
from lumenkeep.files.case.sensitivities import read_sensitivities
from lumenkeep.files.limits import DATE_PATTERN, GLOVES, INSTANT_PATTERN, YEARS

Bounds = Mapping[str, Bound]
INSTANT_MEND = "write date, time and offset, as in 2026-03-05T09:30:00-06:00"


def unknown(reader: Reader, key: str) -> Unknown:
    """Return why a fact is not known: absent, or said to be."""
    return SAID_UNKNOWN if key in reader.data else NOT_GIVEN


def read_instant(reader: Reader, key: str) -> datetime | None:
    """Return an instant in UTC; one without an offset is a fault."""
    value = reader.raw(key)
    if value is None:
        return None
    found = _moment(value)
    if found is None:
        reader.fault(
            "bad-instant", f"{shown(value)} is not an instant.", key, INSTANT_MEND
        )
        return None
    if found.tzinfo is None:
        reader.fault(
            "no-offset", f"{shown(value)} does not say its offset.", key, INSTANT_MEND
        )
        return None
    if not YEARS[0] <= found.year <= YEARS[1]:
        reader.fault(
            "impossible",
            f"The year {found.year} is not possible here.",
            key,
            INSTANT_MEND,
        )
        return None
    return found.astimezone(UTC)


def _moment(value: object) -> datetime | None:
    """Return date and time as a TOML value or in the one form that texts have."""
    if isinstance(value, datetime):
        return value
    if not isinstance(value, str) or "T" not in value.upper():
        return None
    try:
        found = datetime.fromisoformat(value.strip())
    except ValueError:
        return None
    is_exact = found.tzinfo is None or re.match(INSTANT_PATTERN, value)
    return found if is_exact else None


def _day(value: object) -> date | None:
    """Return a date as a TOML value or in the one form that texts have."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    if not isinstance(value, str) or not re.match(DATE_PATTERN, value):
        return None
    try:
        return date.fromisoformat(value.strip())
    except ValueError:
        return None


def _instant(reader: Reader, key: str) -> Fact[datetime]:
    found = read_instant(reader, key)
    return unknown(reader, key) if found is None else found


def _word(reader: Reader, key: str, allowed: Mapping[str, str]) -> Fact[str]:
    found = reader.word(key, allowed)
    return unknown(reader, key) if found is None else found


def _yes_or_no(reader: Reader, key: str) -> Fact[bool]:
    value = reader.raw(key)
    if value is None:
        return unknown(reader, key)
    if isinstance(value, bool):
        return value
    reader.fault(
        "wrong-kind",
        f"{shown(value)} is neither true nor false.",
        key,
        "write true or false, or leave it out where it is not known",
    )
    return NOT_GIVEN


def _closed(reader: Reader, fact: ClosedFact) -> Fact[Any]:
    """Return a fact of a closed list, by its key."""
    if fact.is_yes_no:
        return _yes_or_no(reader, fact.attribute)
    return _word(reader, fact.attribute, fact.answers)


def read_child(reader: Reader | None, zone: tzinfo, bounds: Bounds) -> Child:
    """Return the child; a missing table leaves everything unknown."""
    if reader is None:
        return Child()
    sensitivities, allergies = read_sensitivities(reader)
    child = Child(
        born=_born(reader, zone),
        gestation_at_birth=_gestation(reader, bounds["gestation"]),
        weights=_weights(reader, bounds["mass-g"]),
        sensitivities=sensitivities,
        **{one.attribute: _closed(reader, one) for one in stated_in(Child)},
        allergies=allergies,
    )
    reader.finish()
    return child


def _born(reader: Reader, zone: tzinfo) -> Fact[Birth]:
    value = reader.raw("born")
    day = _day(value)
    if day is None and isinstance(value, str) and "T" not in value.upper():
        reader.fault(
            "bad-birth",
            f"{shown(value)} is neither an instant nor a date.",
            "born",
            f"{INSTANT_MEND}; or only the date, as in 2026-03-05",
        )
        return NOT_GIVEN
    if day is not None:
        if YEARS[0] <= day.year <= YEARS[1]:
            return Birth.on(day, zone)
        reader.fault(
            "impossible",
            f"The year {day.year} is not possible here.",
            "born",
            INSTANT_MEND,
        )
        return NOT_GIVEN
    found = read_instant(reader, "born")
    return unknown(reader, "born") if found is None else Birth.at(found)


def _gestation(reader: Reader, bound: Bound) -> Fact[Gestation]:
    key = "gestation_at_birth"
    found = reader.parsed(
        key, Gestation.read, "a gestation", 'write weeks and days, as in "27w3d"'
    )
    if found is None:
        return unknown(reader, key)
    if not bound.low <= found.days <= bound.high:
        low, high = (days // DAYS_PER_WEEK for days in bound.counts)
        reader.fault(
            "impossible",
            f"A gestation of {found} is not possible here.",
            key,
            f"write the gestation at birth, from {low}w0d to {high}w0d",
        )
        return NOT_GIVEN
    return found


def _weights(reader: Reader, bound: Bound) -> tuple[Weight, ...]:
    found = []
    for row in reader.rows("weights"):
        at = read_instant(row, "at")
        grams = row.number("g", low=bound.low, high=bound.high, unit="grams")
        complete = row.has("at") and row.has("g")
        if not complete and (row.has("at") or row.has("g")):
            missing = "g" if row.has("at") else "at"
            row.fault(
                "missing",
                f"'{missing}' is missing: a weighing has a time and a mass.",
                missing,
                "add it, or take the weighing out",
            )
        row.finish()
        if at is not None and grams is not None:
            found.append(Weight(at, grams))
    return tuple(sorted(found, key=lambda weight: weight.at))


def read_line(reader: Reader | None, bounds: Bounds) -> Line:
    """Return the line; a missing table leaves everything unknown."""
    if reader is None:
        return Line()
    least, most = bounds["lumens"].counts
    lumens = reader.whole("lumens", low=least, high=most, unit="lumens")
    shortest, longest = bounds["external-length-mm"].span
    length = reader.number("external_length_mm", low=shortest, high=longest, unit="mm")
    fewest, most = bounds["stitches"].counts
    stitches = reader.whole("stitches", low=fewest, high=most, unit="stitches")
    closed = {fact.attribute: fact for fact in stated_in(Line)}
    line = Line(
        kind=_closed(reader, closed.pop("kind")),
        site=_closed(reader, closed.pop("site")),
        inserted=_instant(reader, "inserted"),
        lumens=unknown(reader, "lumens") if lumens is None else lumens,
        external_length_mm=(
            unknown(reader, "external_length_mm") if length is None else length
        ),
        stitches=unknown(reader, "stitches") if stitches is None else stitches,
        dressing=_dressing(reader.table("dressing")),
        connectors_changed=_instant(reader, "connectors_changed"),
        sets=_sets(reader),
        needle_changed=_instant(reader, "needle_changed"),
        reviewed=_instant(reader, "reviewed"),
        inspected=_instant(reader, "inspected"),
        **{key: _closed(reader, fact) for key, fact in closed.items()},
        done=_done(reader.table("done")),
    )
    reader.finish()
    return line


def _dressing(reader: Reader | None) -> Dressing:
    if reader is None:
        return Dressing()
    dressing = Dressing(
        kind=_word(reader, "kind", DRESSINGS),
        applied=_instant(reader, "applied"),
        findings=_findings(reader),
        is_off=_yes_or_no(reader, "is_off") is True,
    )
    reader.finish()
    return dressing


def _findings(reader: Reader) -> Fact[tuple[Finding, ...]]:
    key = "findings"
    value = reader.raw(key)
    if value is None:
        return unknown(reader, key)
    if not isinstance(value, list):
        reader.fault(
            "wrong-kind",
            f"{shown(value)} is not a list.",
            key,
            'write a list, as in ["damp"]; [] means looked and nothing found',
        )
        return NOT_GIVEN
    found = []
    for position, item in enumerate(value):
        place = f"{key}[{position}]"
        if isinstance(item, dict):
            row = Reader(item, reader.path(place), reader.faults, reader.prefix)
            kind = row.word("kind", FINDINGS, needed=True)
            at = read_instant(row, "at")
            row.finish()
        else:
            kind, at = reader.checked_word(item, place, FINDINGS), None
        if kind is not None:
            found.append(Finding(kind, at))
    return tuple(found)


def _done(reader: Reader | None) -> tuple[tuple[str, datetime], ...]:
    """Return when each further recurring task was last done, by its name."""
    if reader is None:
        return ()
    found = [(name, read_instant(reader, name)) for name in reader.every_key()]
    return tuple(sorted((name, at) for name, at in found if at is not None))


def _sets(reader: Reader) -> Fact[tuple[InfusionSet, ...]]:
    if not reader.has("sets"):
        reader.raw("sets")
        return unknown(reader, "sets")
    found = []
    for row in reader.rows("sets"):
        found.append(
            InfusionSet(_word(row, "kind", SET_KINDS), _instant(row, "changed"))
        )
        row.finish()
    return tuple(found)


def read_people(reader: Reader | None) -> People:
    """Return the people at the bedside."""
    if reader is None:
        return People()
    people = People(
        operator=_person(reader.table("operator")),
        assistant=_person(reader.table("assistant")),
    )
    reader.finish()
    return people


_SIZES: dict[str | float, str] = {
    **{size: size for size in GLOVES},
    **{f"{size}.0": size for size in GLOVES if "." not in size},
    **{float(size): size for size in GLOVES},
}
"""Glove sizes as a file may write them, and as the rest of the tool does."""


def _person(reader: Reader | None) -> Person:
    if reader is None:
        return Person()
    value = reader.raw("glove")
    glove: Fact[str] | None = None
    if isinstance(value, str):
        glove = _SIZES.get(value.strip())
    elif isinstance(value, int | float) and not isinstance(value, bool):
        glove = _SIZES.get(value)
    if glove is None:
        if value is not None:
            reader.fault(
                "impossible",
                f"{shown(value)} is not a glove size.",
                "glove",
                one_of(GLOVES),
            )
        glove = unknown(reader, "glove")
    reader.finish()
    return Person(glove)
