"""Write a case with the keys of a case file: what `case_file` reads, back again.

The keys are the names of the facts, so a fact that is added to the model is written
too. What is unknown is left out.
"""

from __future__ import annotations

from dataclasses import asdict, fields
from datetime import datetime
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lumenkeep.core.model import (
    Birth,
    Case,
    Child,
    Dressing,
    Finding,
    Gestation,
    InfusionSet,
    Line,
    Person,
    Unknown,
    Weight,
    whole_or_not,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import tzinfo

    from lumenkeep.core.model.allergy import SaidAllergy


def case_as_mapping(case: Case) -> dict[str, Any]:
    """Return the case as a mapping that `case_from_mapping` reads as the same case.

    Instants stand in the wall time of the case's zone. Why a fact is unknown is not
    written.
    """
    zone = case.zone
    named = {"zone": str(zone)} if isinstance(zone, ZoneInfo) else {}
    people = _known(case.people, zone)
    return {
        **named,
        "child": _child(case.child, zone),
        "line": _line(case.line, zone),
        **({"people": people} if people else {}),
    }


def _child(child: Child, zone: tzinfo) -> dict[str, Any]:
    """Return what is known of a child; what was said of allergies stands word for word."""
    told = _known(child, zone)
    told.pop("allergies", None)
    if "sensitivities" in told and child.allergies.told:
        told["sensitivities"] = [_told(said) for said in child.allergies.told]
    return told


def _line(line: Line, zone: tzinfo) -> dict[str, Any]:
    """Return what is known of a line; further recurring tasks stand by their names."""
    told = _known(line, zone)
    if line.done:
        told["done"] = {name: _instant(at, zone) for name, at in line.done}
    return told


def _told(said: SaidAllergy) -> Any:
    row = {key: value for key, value in asdict(said).items() if value is not None}
    return said.substance if len(row) == 1 else row


def _known(of: Any, zone: tzinfo) -> dict[str, Any]:
    """Return what is known of a table, by the names of its facts."""
    stated = {
        one.name: getattr(of, one.name)
        for one in fields(of)
        if getattr(of, one.name) or not (one.default == () or one.default is False)
    }
    written = {name: _written(value, zone) for name, value in stated.items()}
    return {name: value for name, value in written.items() if value is not None}


def _written(value: Any, zone: tzinfo) -> Any:
    """Return a fact as a file says it; None for what is unknown, or has nothing known."""
    if isinstance(value, Unknown):
        return None
    write = _WAYS.get(type(value))
    return value if write is None else write(value, zone)


def _birth(born: Birth, zone: tzinfo) -> str:
    here = born.earliest.astimezone(zone)
    return here.isoformat() if born.is_exact else here.date().isoformat()


def _finding(found: Finding, zone: tzinfo) -> Any:
    if found.at is None:
        return found.kind
    return {"kind": found.kind, "at": _instant(found.at, zone)}


def _instant(at: datetime, zone: tzinfo) -> str:
    return at.astimezone(zone).isoformat()


def _rows(rows: tuple[Any, ...], zone: tzinfo) -> list[Any]:
    return [_written(row, zone) for row in rows]


_WAYS: dict[type, Callable[[Any, tzinfo], Any]] = {
    Birth: _birth,
    Gestation: lambda value, _: str(value),
    Weight: lambda value, zone: {
        "at": _instant(value.at, zone),
        "g": whole_or_not(value.grams),
    },
    frozenset: lambda value, _: sorted(value),
    float: lambda value, _: whole_or_not(value),
    datetime: _instant,
    Finding: _finding,
    tuple: _rows,
    Dressing: lambda value, zone: _known(value, zone) or None,
    InfusionSet: _known,
    Person: lambda value, zone: _known(value, zone) or None,
}
