"""The values of an account as texts to be read, and those that are only noted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.ward.guide.bundle.fields import NOTED
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.ward.guide.bundle.fields import Field


def typed_of(values: Mapping[str, Any], head: Mapping[str, Any]) -> Typed:
    """Return the values as a form would have sent them; fields filled in beforehand too.

    Lists stay out: they are read where they are wanted.
    """
    filled = {
        one["field"]: one["value"]
        for one in head["entry"]["fields"]
        if one["value"] is not None
    }
    said = {
        str(name): _text(value)
        for name, value in values.items()
        if isinstance(value, str | int | float)
    }
    return Typed({**filled, **said})


def _text(value: str | float) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def noted_of(form: Typed, head: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return what was called out and is noted beside the entry: label and value."""
    found = []
    for field in _noted_fields(head):
        value = _value(form, field)
        if value is not None:
            found.append({"label": field["label"], "value": value})
    return found


def _noted_fields(head: Mapping[str, Any]) -> Iterator[Field]:
    seen = set()
    for step in head["steps"]:
        for field in step["charted"]:
            if field["field"].startswith(NOTED) and field["field"] not in seen:
                seen.add(field["field"])
                yield field


def _value(form: Typed, field: Field) -> object:
    name, label = field["field"], field["label"]
    if field["type"] == "mm":
        return form.number(name, label, "mm")
    if field["type"] == "count":
        return form.count(name, label)
    if field["type"] == "choice":
        return form.word(name, label, [one["value"] for one in field["choices"]])
    return form.text(name, label)
