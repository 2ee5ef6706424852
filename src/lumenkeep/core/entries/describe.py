"""Describe every kind of entry as plain values: what a chart file may hold.

Nothing is said here: it all comes from the registry.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import (
    Answer,
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
from lumenkeep.core.entries.check import (
    GESTATION,
    GREATEST_GRADE,
    LONGEST_WORD,
    span_of,
)
from lumenkeep.core.entries.registry import every_kind
from lumenkeep.core.model.allergy import SEVERITIES
from lumenkeep.core.model.quantities import weeks_and_days, whole_or_not

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lumenkeep.core.entries.check import Spans
    from lumenkeep.core.entries.kind import Field, Kind

TYPES: Mapping[type[Answer], str] = {
    Word: "word",
    Words: "words",
    Offered: "offered",
    Measure: "number",
    Count: "whole number",
    Text: "text",
    Texts: "texts",
    YesNo: "yes or no",
    Day: "day",
    Days: "first and last day",
    BirthMoment: "instant or day",
    GestationWeeks: "weeks and days",
    Grades: "grade by scale",
    Substances: "rows of substance, what_happened, severity and touches_skin",
    Held: "held",
}


def describe_kinds(
    spans: Spans, also: Mapping[str, Sequence[Field]]
) -> list[dict[str, Any]]:
    """Return every kind with its fields, in the order of the registry.

    Parameters
    ----------
    spans
        Least and greatest of each bound of the world, by its id.
    also
        Fields that a policy adds to a kind, by the kind.
    """
    return [
        describe_kind(kind, spans, also.get(kind.id, ()))
        for kind in every_kind().values()
    ]


def describe_kind(kind: Kind, spans: Spans, also: Sequence[Field]) -> dict[str, Any]:
    """Return one kind with its fields; see `describe_kinds`."""
    fields = (*kind.fields, *also)
    task = kind.task
    return {
        "id": kind.id,
        "label": kind.label,
        "about": kind.about,
        "fields": [describe_field(one, spans) for one in fields],
        "sets": sorted({one.sets for one in fields if one.sets}),
        "task": None
        if task is None
        else {"task": task.word, "label": task.label, "fact": task.fact},
        "begins": _signs(one.begins for one in fields),
        "ends": _signs(one.ends for one in fields),
        "is_look": kind.is_look,
        "may_withdraw": kind.may_withdraw,
    }


def describe_field(field: Field, spans: Spans) -> dict[str, Any]:
    """Return one field: how it is answered, what it sets, begins and ends."""
    answer = field.answer
    return {
        "key": field.key,
        "label": field.label,
        "type": TYPES[type(answer)],
        "unit": answer.unit if isinstance(answer, Measure) else None,
        "words": _words(answer),
        "free": getattr(answer, "is_free", isinstance(answer, Offered)),
        "from": answer.source if isinstance(answer, Offered) else None,
        "required": field.required and field.is_asked,
        "limits": _limits(answer, spans),
        "sets": field.sets or None,
        "begins": {word: list(signs) for word, signs in field.begins.items()},
        "ends": {word: list(signs) for word, signs in field.ends.items()},
        "by_policy": field.from_policy or None,
    }


def _words(answer: Answer) -> dict[str, str] | None:
    if isinstance(answer, Substances):
        return dict(SEVERITIES)
    return dict(answer.words) if isinstance(answer, Word | Words) else None


def _signs(of: Iterable[Mapping[str, tuple[str, ...]]]) -> list[str]:
    return sorted({sign for words in of for signs in words.values() for sign in signs})


def _limits(answer: Answer, spans: Spans) -> dict[str, Any] | None:
    if isinstance(answer, Measure | Count):
        return _low_and_high(span_of(answer, spans))
    if isinstance(answer, Word) and answer.is_number:
        numbers = [int(word) for word in answer.words]
        return {"low": min(numbers), "high": max(numbers)}
    if isinstance(answer, GestationWeeks):
        return {
            name: weeks_and_days(int(days))
            for name, days in zip(
                ("low", "high"), spans.get(GESTATION, ()), strict=False
            )
        } or None
    if isinstance(answer, Grades):
        return {"low": 0, "high": GREATEST_GRADE}
    if isinstance(answer, Text):
        return {"longest": answer.longest}
    return {"longest": LONGEST_WORD} if isinstance(answer, Texts | Offered) else None


def _low_and_high(span: tuple[float, float] | None) -> dict[str, Any] | None:
    if span is None:
        return None
    return {"low": whole_or_not(span[0]), "high": whole_or_not(span[1])}
