"""The sentences of a row, a rule or a step: what is wrong with one, and filling them.

Which of a row's fields hold sentences, and which numbers these may name, is said by
whoever asks: of rules by `rule_texts`, of procedures by `asepsis.texts`.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

from lumenkeep.core.policy.sentences import (
    fill,
    has_loose_brace,
    places_in,
    said,
    stray_number,
)
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator
    from datetime import date

    from lumenkeep.core.policy.numbers import Number
    from lumenkeep.core.policy.sentences import Say

R = TypeVar("R")
_NAMES: dict[type, tuple[str, ...]] = {}
"""Names of fields, kept by class: `fields` looks through them anew each time."""


def names_of(row: Any) -> tuple[str, ...]:
    """Return the names of the fields of a rule, or of a row within one."""
    kind = type(row)
    names = _NAMES.get(kind)
    if names is None:
        names = _NAMES[kind] = tuple(one.name for one in fields(kind))
    return names


def rows_in(content: Any) -> tuple[Any, ...]:
    """Return the rows that a field holds; none where it holds something else."""
    is_rows = isinstance(content, tuple) and content and is_dataclass(content[0])
    return content if is_rows else ()


def faults_in(
    text: str,
    place: str,
    may_name: Callable[[str], bool],
    *,
    called: str,
    wanted: str,
    mends: tuple[str, str],
    reports: bool = False,
) -> Iterator[Fault]:
    """Yield what is wrong with a sentence.

    Parameters
    ----------
    may_name
        Whether a name between braces is a number that the sentence may name.
    called, wanted
        What the sentence is called, and what should be named between its braces.
    mends
        How to mend a brace that names nothing, and a number of its own.
    reports
        Whether it only reports a document, and may hold the document's figures.
    """
    strange = [name for name in places_in(text) if not may_name(name)]
    if strange or has_loose_brace(text):
        held = f"“{strange[0]}”" if strange else "a brace"
        yield Fault(
            "policy-sentence-names-nothing",
            f"{called} has {held} where {wanted} should be named.",
            place,
            mends[0],
        )
    stray = None if reports else stray_number(text)
    if stray is not None:
        yield Fault(
            "policy-number-in-sentence",
            f"{called} holds a number of its own: “{stray}”.",
            place,
            mends[1],
        )


def said_on(number: Number, day: date, form: str) -> str:
    """Return a number as said on a day; before its first day, its first value."""
    return said(number, number.on_or_first(day).value, form)


def filled_row(row: R, texts: Collection[str], say: Say) -> R:
    """Return a row with its sentences filled, those of the rows within it too.

    Parameters
    ----------
    texts
        Names of the fields that hold sentences.

    Returns
    -------
    R
        The same row where none names a number.
    """
    changes: dict[str, Any] = {}
    for name in names_of(row):
        content = getattr(row, name)
        told: Any = content
        if name not in texts:
            told = tuple(filled_row(one, texts, say) for one in rows_in(content))
        elif isinstance(content, str):
            told = fill(content, say)
        elif content:
            told = tuple(fill(text, say) for text in content)
        if told and told != content:
            changes[name] = told
    changed: R = replace(row, **changes) if changes else row  # type: ignore[type-var]  # a dataclass
    return changed
