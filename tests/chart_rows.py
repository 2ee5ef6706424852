"""Hypothesis strategies of charts: any kind, any body that the registry allows."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st
from tests.strategies import minutes

from lumenkeep.core.entries import CHILD, EITHER, WITHDRAWN, every_kind
from lumenkeep.core.entries.answers import (
    CONCERNS,
    SPECIMENS,
    BirthMoment,
    Count,
    Day,
    Days,
    GestationWeeks,
    Grades,
    Held,
    Measure,
    Offered,
    Substances,
    Text,
    Texts,
    Word,
    Words,
    YesNo,
)
from lumenkeep.core.entries.check import span_of
from lumenkeep.core.model.allergy import SEVERITIES
from lumenkeep.core.policy.files import world_bounds

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.entries import Field, Kind

SPANS = {id_: bound.span for id_, bound in world_bounds().items()}
FIRST = datetime(2026, 11, 1, tzinfo=UTC)
LAST = FIRST + timedelta(days=20)
CHILDREN = {"c-1": ("l-1", "l-2"), "c-2": ("l-3",)}
_TEXTS = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)
_SAID = st.sampled_from(("a", "Left arm", "E. coli", "ßé", "penicillin"))
_DAYS = st.sampled_from(("2026-11-01", "2026-11-09", "2026-12-24"))


def _whole(low: float, high: float) -> st.SearchStrategy[int]:
    return st.integers(int(low), int(high))


def _number(answer: Measure | Count) -> st.SearchStrategy[Any]:
    low, high = span_of(answer, SPANS) or (0.0, 40_000.0)
    if isinstance(answer, Count):
        return _whole(low, high)
    return st.one_of(st.floats(low, high), st.sampled_from((low, high)))


def _words(answer: Word | Words) -> st.SearchStrategy[str]:
    one = st.sampled_from(tuple(answer.words))
    return st.one_of(one, _SAID) if answer.is_free else one


def _held(answer: Held) -> st.SearchStrategy[Any]:
    table = st.dictionaries(_TEXTS, _TEXTS, max_size=2)
    shapes = {"text": _TEXTS, "table": table, "rows": st.lists(table, max_size=2)}
    return shapes.get(answer.shape, _SAID)


def _offered(answer: Offered) -> st.SearchStrategy[Any]:
    if answer.source == SPECIMENS:
        return st.none()  # it names another entry
    return (
        st.sampled_from(("pus", "red", "x:y")) if answer.source == CONCERNS else _SAID
    )


def _word(answer: Word) -> st.SearchStrategy[Any]:
    return _words(answer).map(int) if answer.is_number else _words(answer)


_instants = minutes(timedelta(), LAST - FIRST).map(lambda span: FIRST + span)
_substances = st.fixed_dictionaries(
    {"substance": _SAID},
    optional={
        "what_happened": _SAID,
        "severity": st.sampled_from((None, *SEVERITIES)),
        "touches_skin": st.sampled_from((None, True, False)),
    },
)
_WAYS: dict[type, Callable[[Any], st.SearchStrategy[Any]]] = {
    Word: _word,
    Words: lambda answer: st.lists(_words(answer), max_size=3),
    Offered: _offered,
    Measure: _number,
    Count: _number,
    Text: lambda _: _TEXTS,
    Texts: lambda _: st.lists(_SAID, max_size=2),
    YesNo: lambda _: st.booleans(),
    Day: lambda _: _DAYS,
    Days: lambda _: st.tuples(_DAYS, _DAYS).map(sorted),
    BirthMoment: lambda _: st.one_of(_DAYS, _instants.map(lambda at: at.isoformat())),
    GestationWeeks: lambda _: st.sampled_from(("27w3d", "39w", "24w0d")),
    Grades: lambda _: st.dictionaries(_SAID, st.integers(0, 5), max_size=2),
    Substances: lambda _: st.lists(_substances, max_size=2),
    Held: _held,
}


def values(field: Field) -> st.SearchStrategy[Any]:
    """Return what a body may hold for a field."""
    return _WAYS[type(field.answer)](field.answer)


@st.composite
def bodies(draw: st.DrawFn, kind: Kind) -> dict[str, Any]:
    """Return a body: each key there, null or absent."""
    body: dict[str, Any] = {}
    for field in kind.fields:
        if draw(st.booleans()):
            body[field.key] = draw(st.one_of(values(field), values(field), st.none()))
    return body


@st.composite
def _rows(draw: st.DrawFn, id_: int, earlier: list[dict[str, Any]]) -> dict[str, Any]:
    corrected = {one["corrects"] for one in earlier}
    # What takes an entry back stands: it is neither corrected nor taken back.
    free = [
        one
        for one in earlier
        if one["id"] not in corrected and one["kind"] != WITHDRAWN
    ]
    if free and draw(st.integers(0, 3)) == 0:
        return draw(_corrections(id_, draw(st.sampled_from(free))))
    kind = draw(
        st.sampled_from([k for k in every_kind().values() if k.id != WITHDRAWN])
    )
    child = draw(st.sampled_from(tuple(CHILDREN)))
    line = None if kind.about == CHILD else draw(st.sampled_from(CHILDREN[child]))
    if kind.about == EITHER and draw(st.booleans()):
        line = None
    return draw(_dated(_row(id_, child, line, kind, draw(bodies(kind)))))


@st.composite
def _corrections(draw: st.DrawFn, id_: int, one: dict[str, Any]) -> dict[str, Any]:
    takes_back = draw(st.booleans())
    kind = every_kind()[WITHDRAWN if takes_back else one["kind"]]
    body = {"because": "wrong"} if takes_back else draw(bodies(kind))
    corrects = {"corrects": one["id"]}
    row = _row(id_, one["child"], one["line"], kind, body) | corrects
    return draw(_dated(row))


def _row(
    id_: int, child: str, line: str | None, kind: Kind, body: dict[str, Any]
) -> dict[str, Any]:
    return {
        "id": id_,
        "child": child,
        "line": line,
        "kind": kind.id,
        "happened_at": "",
        "by": "s-1",
        "corrects": None,
        "body": body,
    }


@st.composite
def _dated(draw: st.DrawFn, row: dict[str, Any]) -> dict[str, Any]:
    at = draw(_instants)
    row["happened_at"] = at.isoformat()
    if draw(st.booleans()):
        late = draw(minutes(timedelta(), timedelta(days=3)))
        row["written_at"] = (at + late).isoformat()
    return row


@st.composite
def charts(draw: st.DrawFn, most: int = 12) -> list[dict[str, Any]]:
    """Return the rows of a sound chart file, in the order of writing."""
    rows: list[dict[str, Any]] = []
    for id_ in range(1, draw(st.integers(1, most)) + 1):
        rows.append(draw(_rows(id_, rows)))
    return rows
