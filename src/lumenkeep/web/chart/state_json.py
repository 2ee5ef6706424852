"""A line's state as compact JSON, for the ward view: quick to read, exact to return.

Instants are whole microseconds since 1970 (UTC), an unknown is an object holding its
reason, all else is an array by position. A ward shows weeks, so `for_ward` first
leaves out what only the line's own page needs.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta, tzinfo
from functools import lru_cache
from typing import Any

from lumenkeep.model import (
    Birth,
    Case,
    Child,
    Dressing,
    Fact,
    Finding,
    Gestation,
    InfusionSet,
    Line,
    People,
    Unknown,
    Weight,
)
from lumenkeep.model.chart import LineState

FORMAT = 1
"""Raise it with every change of the layout; rows of another format are folded anew."""

SHOWN_ON_A_WARD = timedelta(days=21)

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)
_NOBODY = People()
_UNKNOWNS: dict[str, Unknown] = {}


def for_ward(state: LineState, newest: datetime) -> LineState:
    """Return the state without what happened long before ``newest`` (UTC).

    The last change, the last weight, and the first and last length always stay.
    """
    since = newest - SHOWN_ON_A_WARD
    last_change, last_length = len(state.changes) - 1, len(state.lengths) - 1
    child = replace(state.case.child, weights=state.case.child.weights[-1:])
    return replace(
        state,
        case=replace(state.case, child=child),
        changes=tuple(
            change
            for position, change in enumerate(state.changes)
            if change[0] >= since or position == last_change
        ),
        lengths=tuple(
            length
            for position, length in enumerate(state.lengths)
            if length[0] >= since or position in (0, last_length)
        ),
    )


def to_json(state: LineState) -> str:
    """Return the state as text; people and zone are left out, they are the ward's."""
    child, line = state.case.child, state.case.line
    dressing = line.dressing
    born, gestation = child.born, child.gestation_at_birth
    sensitivities, findings, sets = child.sensitivities, dressing.findings, line.sets
    return json.dumps(
        [
            FORMAT,
            _out(born)
            if isinstance(born, Unknown)
            else [_micros(born.earliest), _micros(born.latest)],
            _out(gestation)
            if isinstance(gestation, Unknown)
            else [gestation.days, gestation.until],
            [[_micros(w.at), w.grams] for w in child.weights],
            _out(sensitivities)
            if isinstance(sensitivities, Unknown)
            else sorted(sensitivities),
            _out(child.skin_at_site),
            _out(child.unit),
            _out(line.kind),
            _out(line.site),
            _moment_out(line.inserted),
            _out(line.lumens),
            _out(line.external_length_mm),
            _out(line.stitches),
            _out(dressing.kind),
            _moment_out(dressing.applied),
            _out(findings)
            if isinstance(findings, Unknown)
            else [[f.kind, None if f.at is None else _micros(f.at)] for f in findings],
            _moment_out(line.connectors_changed),
            _out(sets)
            if isinstance(sets, Unknown)
            else [[_out(s.kind), _moment_out(s.changed)] for s in sets],
            _moment_out(line.needle_changed),
            _moment_out(line.reviewed),
            _moment_out(line.inspected),
            [[_micros(at), why] for at, why in state.changes],
            [[_micros(at), length] for at, length in state.lengths],
            None if state.removed_at is None else _micros(state.removed_at),
        ],
        separators=(",", ":"),
        ensure_ascii=False,
    )


@lru_cache(maxsize=4096)
def from_json(text: str, zone: tzinfo) -> LineState | None:
    """Return the state that `to_json` wrote, in the ward's zone.

    Returns
    -------
    LineState or None
        None when the text is of another format: fold the entries instead. The same
        text gives the same object, since nothing in it can change.
    """
    row: list[Any] = json.loads(text)
    if row[0] != FORMAT:
        return None
    born, gestation, sensitivities, findings, sets = (
        row[1],
        row[2],
        row[4],
        row[15],
        row[17],
    )
    child = Child(
        Birth(_moment(born[0]), _moment(born[1])) if type(born) is list else _in(born),
        Gestation(gestation[0], gestation[1])
        if type(gestation) is list
        else _in(gestation),
        tuple([Weight(_moment(at), grams) for at, grams in row[3]]),
        frozenset(sensitivities) if type(sensitivities) is list else _in(sensitivities),
        _in(row[5]),
        _in(row[6]),
    )
    line = Line(
        _in(row[7]),
        _in(row[8]),
        _moment_in(row[9]),
        _in(row[10]),
        _in(row[11]),
        _in(row[12]),
        Dressing(
            _in(row[13]),
            _moment_in(row[14]),
            tuple(
                [Finding(k, None if at is None else _moment(at)) for k, at in findings]
            )
            if type(findings) is list
            else _in(findings),
        ),
        _moment_in(row[16]),
        tuple([InfusionSet(_in(kind), _moment_in(at)) for kind, at in sets])
        if type(sets) is list
        else _in(sets),
        _moment_in(row[18]),
        _moment_in(row[19]),
        _moment_in(row[20]),
    )
    return LineState(
        Case(child, line, _NOBODY, zone),
        tuple([(_moment(at), why) for at, why in row[21]]),
        tuple([(_moment(at), length) for at, length in row[22]]),
        None if row[23] is None else _moment(row[23]),
    )


def _micros(at: datetime) -> int:
    return (at - _EPOCH) // _MICROSECOND


def _moment(micros: int) -> datetime:
    return _EPOCH + timedelta(0, 0, micros)


def _out(fact: Any) -> Any:
    return {"?": fact.reason} if isinstance(fact, Unknown) else fact


def _moment_out(fact: Fact[datetime]) -> Any:
    return {"?": fact.reason} if isinstance(fact, Unknown) else _micros(fact)


def _in(value: Any) -> Any:
    if type(value) is not dict:
        return value
    reason = value["?"]
    known = _UNKNOWNS.get(reason)
    if known is None:
        known = _UNKNOWNS.setdefault(reason, Unknown(reason))
    return known


def _moment_in(value: Any) -> Any:
    return _in(value) if type(value) is dict else _EPOCH + timedelta(0, 0, value)
