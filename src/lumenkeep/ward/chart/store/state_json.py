"""A line's state as compact JSON, for the ward view: quick to read, exact to return.

Instants are whole microseconds since 1970 (UTC), an unknown is an object holding its
reason, all else is an array by position. A ward shows weeks, so `for_ward` first
leaves out what only the line's own page needs.
"""

from __future__ import annotations

import json
from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta, tzinfo
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar
from zlib import crc32

from lumenkeep.core.entries import LineState
from lumenkeep.core.model import (
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
from lumenkeep.core.model.allergy import (
    NOTHING_TOLD,
    Allergies,
    SaidAllergy,
    allergies_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    _Way = Callable[[Any], Any]

T = TypeVar("T")

LAYOUT = 5
"""Raise it when what a row says changes, but for the facts themselves."""

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
    case = state.case
    return json.dumps(
        [
            FORMAT,
            _row_of(Child, case.child),
            _row_of(Line, case.line),
            _instants(case.known_since),
            [[_micros(at), why] for at, why in state.changes],
            [[_micros(at), length] for at, length in state.lengths],
            None if state.removed_at is None else _micros(state.removed_at),
            _instants(state.signs),
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
    _, child, line, since, changes, lengths, removed_at, signs = row
    return LineState(
        Case(_of_row(Child, child), _of_row(Line, line), _NOBODY, zone, _named(since)),
        tuple([(_moment(at), why) for at, why in changes]),
        tuple([(_moment(at), length) for at, length in lengths]),
        None if removed_at is None else _moment(removed_at),
        _named(signs),
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


def _instants(named: tuple[tuple[str, datetime], ...]) -> list[list[Any]]:
    return [[name, _micros(at)] for name, at in named]


def _named(rows: list[list[Any]]) -> tuple[tuple[str, datetime], ...]:
    return tuple([(name, _moment(at)) for name, at in rows])


def _or_unknown(out: _Way) -> _Way:
    return lambda fact: {"?": fact.reason} if isinstance(fact, Unknown) else out(fact)


def _if_known(in_: _Way) -> _Way:
    return lambda value: _in(value) if type(value) is dict else in_(value)


def _dressed(row: list[Any]) -> Dressing:
    return _of_row(Dressing, row)


def _told(rows: list[list[Any]]) -> Allergies:
    return (
        allergies_of([SaidAllergy(*told) for told in rows])[1] if rows else NOTHING_TOLD
    )


_WAYS: dict[str, tuple[_Way, _Way]] = {
    **dict.fromkeys(
        ("Fact[str]", "Fact[int]", "Fact[float]", "Fact[bool]"), (_out, _in)
    ),
    "bool": (bool, bool),
    "Fact[datetime]": (_moment_out, _moment_in),
    "Fact[Birth]": (
        _or_unknown(lambda born: [_micros(born.earliest), _micros(born.latest)]),
        _if_known(lambda row: Birth(_moment(row[0]), _moment(row[1]))),
    ),
    "Fact[Gestation]": (
        _or_unknown(lambda gestation: [gestation.days, gestation.until]),
        _if_known(lambda row: Gestation(row[0], row[1])),
    ),
    "tuple[Weight, ...]": (
        lambda weights: [[_micros(one.at), one.grams] for one in weights],
        lambda rows: tuple([Weight(_moment(at), grams) for at, grams in rows]),
    ),
    "Fact[frozenset[str]]": (_or_unknown(sorted), _if_known(frozenset)),
    "Allergies": (
        lambda allergies: [
            [t.substance, t.what_happened, t.severity, t.touches_skin]
            for t in allergies.told
        ],
        _told,
    ),
    "Fact[tuple[Finding, ...]]": (
        _or_unknown(
            lambda found: [
                [one.kind, None if one.at is None else _micros(one.at)] for one in found
            ]
        ),
        _if_known(
            lambda rows: tuple(
                [Finding(k, None if at is None else _moment(at)) for k, at in rows]
            )
        ),
    ),
    "Fact[tuple[InfusionSet, ...]]": (
        _or_unknown(
            lambda sets: [[_out(s.kind), _moment_out(s.changed)] for s in sets]
        ),
        _if_known(
            lambda rows: tuple(
                [InfusionSet(_in(kind), _moment_in(at)) for kind, at in rows]
            )
        ),
    ),
    "tuple[tuple[str, datetime], ...]": (_instants, _named),
    "Dressing": (lambda dressing: _row_of(Dressing, dressing), _dressed),
}
"""How a value of each type goes out and comes back; a type without one is an error."""


_PARTS: dict[type[Any], tuple[tuple[str, _Way, _Way], ...]] = {
    kind: tuple((one.name, *_WAYS[str(one.type)]) for one in fields(kind))
    for kind in (Child, Line, Dressing)
}
"""Every field of what is known, in order: a fact that is new is kept by itself."""

FORMAT = f"{LAYOUT}-{crc32(repr([[(f.name, f.type) for f in fields(kind)] for kind in _PARTS]).encode()):08x}"
"""Layout and facts of a row; one of another format is folded anew from its entries."""


def _row_of(kind: type[Any], value: Any) -> list[Any]:
    return [out(getattr(value, name)) for name, out, _ in _PARTS[kind]]


def _of_row(kind: type[T], row: list[Any]) -> T:
    return kind(
        *[in_(value) for (_, _, in_), value in zip(_PARTS[kind], row, strict=True)]
    )
