"""The questions of a form for infections as fields, empty or filled from an entry."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.services.infection_questions import AT, FORMS, NO, YES, Asked
from lumenkeep.web.pages.fields import Field, local_minute, pairs

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime, tzinfo

FIELD_KINDS = {"number": "count"}


def infection_fields(
    kind: str,
    at: datetime,
    zone: tzinfo,
    specimens: Mapping[str, str],
    values: Mapping[str, str],
) -> tuple[Field, ...]:
    """Return the fields of a form.

    Parameters
    ----------
    kind
        A key of `FORMS`.
    at
        What the field of time holds (UTC).
    specimens
        The child's specimens in words, by the id of their first entry.
    values
        What is filled in already, by the name of the question.
    """
    return tuple(_field(one, at, zone, specimens, values) for one in FORMS[kind].asked)


def typed_of(body: Mapping[str, Any]) -> dict[str, str]:
    """Return an entry's body as it would be typed into its form."""
    first, last = body.get("window") or ("", "")
    ends = {"window_first": first, "window_last": last} if first else {}
    return {name: _typed(value) for name, value in body.items()} | ends


def _typed(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES if value else NO
    if isinstance(value, list):
        return "\n".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _field(
    one: Asked,
    at: datetime,
    zone: tzinfo,
    specimens: Mapping[str, str],
    values: Mapping[str, str],
) -> Field:
    choices = specimens if one.name == "specimen" else (one.choices or {})
    typed = local_minute(at, zone) if one.name == AT else values.get(one.name, "")
    return Field(
        one.name,
        one.label,
        FIELD_KINDS.get(one.kind, one.kind),
        required=one.is_needed,
        hint=one.hint,
        choices=pairs(choices),
        typed=typed,
    )
