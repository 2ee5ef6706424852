"""What an entry says, in words: each field by its label and the words of its answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import answers as a
from lumenkeep.core.entries.registry import kind_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.entries.kind import Field
    from lumenkeep.core.model.entry import Entry

    Say = Callable[[Field, Any], str | None]

NOTHING: tuple[Any, ...] = (None, "", [], (), {})


def label_of(kind_id: str) -> str:
    """Return what a kind of entry is called; its id where there is none of it."""
    kind = kind_of(kind_id)
    return kind_id if kind is None else kind.label


def parts_said(entry: Entry, otherwise: Say | None = None) -> tuple[str, ...]:
    """Return what an entry says beside its kind and time, a phrase for each field.

    Parameters
    ----------
    otherwise
        Says a value in other words than the registry; None where it does not.
    """
    kind = kind_of(entry.kind)
    body = entry.body
    if kind is None:
        return ()
    if kind.says is not None:
        return tuple(part for part in (kind.says(body),) if part)
    parts = []
    for field in kind.fields:
        value = body.get(field.key)
        if field.is_shown and value not in NOTHING:
            said = otherwise(field, value) if otherwise is not None else None
            parts.append(said or field_said(field, value))
    strange = [key for key in body if key not in kind.keys]
    parts += [
        f"{key.replace('_', ' ')} {_plain(body[key])}"
        for key in strange
        if body[key] not in NOTHING
    ]
    return tuple(part for part in parts if part)


def field_said(field: Field, value: Any) -> str:
    """Return a value behind its label, as in "site red"."""
    text = value_said(field.answer, value)
    label = (
        field.label[:1].lower() + field.label[1:] if field.said is None else field.said
    )
    if not label:
        return text
    return f"{label} {text[:1].lower()}{text[1:]}"


def value_said(answer: a.Answer, value: Any) -> str:
    """Return a value in the words of its answer."""
    match answer:
        case a.Word():
            return answer.words.get(str(value), str(value))
        case a.Words():
            named = [answer.words.get(str(word), str(word)) for word in value]
            return ", ".join(word.lower() for word in named)
        case a.Measure():
            return f"{value:g} {answer.unit}"
        case a.Grades():
            return ", ".join(
                f"{scale.replace('-', ' ')} grade {grade}"
                for scale, grade in value.items()
            )
        case a.Days():
            return " to ".join(map(str, value))
        case a.Texts():
            return ", ".join(map(str, value))
        case _:
            return _plain(value)


def _plain(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_plain(one)}" for key, one in value.items())
    return f"{value:g}" if isinstance(value, int | float) else str(value)
