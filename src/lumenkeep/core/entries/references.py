"""Entries that the body of another entry names: a specimen, a concern, a blood.

Ids count within one chart only, so whoever moves entries to another chart must put
the new ids where the old ones stand.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import CONCERNS, SPECIMENS, Held, Offered
from lumenkeep.core.entries.registry import kind_of
from lumenkeep.core.model.chart import WITHDRAWN

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.core.entries.kind import Field
    from lumenkeep.core.model.entry import Entry

SPECIMEN = "specimen"
_KEY_OF_CONCERN = re.compile(r"([a-z0-9-]+):([0-9]{1,18})", re.ASCII)
_NAME_OF_BLOOD = re.compile(r"e([0-9]{1,18})", re.ASCII)


@dataclass(frozen=True, slots=True)
class Named:
    """An entry that a body names.

    Attributes
    ----------
    key
        Of the field that names it.
    id
        Of the entry named.
    source
        What is named: one of `SPECIMENS`, or what one of `CONCERNS` began with.
    """

    key: str
    id: int
    source: str


def named_entries(entry: Entry) -> Iterator[Named]:
    """Yield each entry that the body names by a field of its own."""
    for field, value in _said(entry):
        if isinstance(value, int) and _is_offered(field, SPECIMENS):
            yield Named(field.key, value, SPECIMENS)
        elif isinstance(value, str) and _is_offered(field, CONCERNS):
            match = _KEY_OF_CONCERN.fullmatch(value)
            if match is not None:
                yield Named(field.key, int(match[2]), CONCERNS)
        elif _names_blood(field) and not isinstance(value, str):
            for id_ in _blood_within(value):
                yield Named(field.key, id_, SPECIMENS)


def is_what_is_named(named: Named, entry: Entry, by: Entry) -> bool:
    """Return whether an entry is of the kind and the line that its naming tells of.

    A concern begins with what was seen on its line or of its child, never with what
    somebody did about a concern.

    Parameters
    ----------
    entry
        The one named.
    by
        The one whose body names it.
    """
    if named.source == SPECIMENS:
        return entry.kind == SPECIMEN
    kind = kind_of(entry.kind)
    fields = kind.fields if kind is not None else ()
    is_act = any(_is_offered(field, CONCERNS) for field in fields)
    return entry.kind != WITHDRAWN and not is_act and entry.line in (None, by.line)


def renumbered(entry: Entry, new: Mapping[int, int]) -> dict[str, Any]:
    """Return the body with the new ids of the entries that it names.

    Parameters
    ----------
    entry
        As it stands.
    new
        New id by old one; an entry that is not in it keeps its id.
    """
    body = dict(entry.body)
    for field, value in _said(entry):
        if _is_offered(field, SPECIMENS):
            body[field.key] = new.get(value, value)
        elif _is_offered(field, CONCERNS):
            body[field.key] = _other(_KEY_OF_CONCERN, value, new)
        elif _names_blood(field):
            body[field.key] = _within(value, new)
    return body


def without_ids(entry: Entry) -> dict[str, Any]:
    """Return the body without anything that rests on the ids of other entries."""
    body = dict(entry.body)
    for field, value in _said(entry):
        if _is_offered(field, SPECIMENS) or _names_blood(field):
            del body[field.key]
        elif _is_offered(field, CONCERNS):
            match = _KEY_OF_CONCERN.fullmatch(value) if isinstance(value, str) else None
            body[field.key] = value if match is None else match[1]
    return body


def _names_blood(field: Field) -> bool:
    return isinstance(field.answer, Held) and field.answer.names_blood


def _blood_within(value: Any) -> Iterator[int]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for one in value:
            yield from _blood_within(one)
    elif isinstance(value, str) and (match := _NAME_OF_BLOOD.fullmatch(value)):
        yield int(match[1])


def _said(entry: Entry) -> Iterator[tuple[Field, Any]]:
    kind = kind_of(entry.kind)
    for field in kind.fields if kind is not None else ():
        value = entry.body.get(field.key)
        if value is not None:
            yield field, value


def _is_offered(field: Field, source: str) -> bool:
    return isinstance(field.answer, Offered) and field.answer.source == source


def _other(pattern: re.Pattern[str], text: Any, new: Mapping[int, int]) -> Any:
    """Return a text whose last number is an id with the new id in its place."""
    match = pattern.fullmatch(text) if isinstance(text, str) else None
    if match is None or int(match[match.re.groups]) not in new:
        return text
    start = match.start(match.re.groups)
    return f"{text[:start]}{new[int(text[start:])]}"


def _within(value: Any, new: Mapping[int, int]) -> Any:
    if isinstance(value, dict):
        return {key: _within(one, new) for key, one in value.items()}
    if isinstance(value, list):
        return [_within(one, new) for one in value]
    return _other(_NAME_OF_BLOOD, value, new)
