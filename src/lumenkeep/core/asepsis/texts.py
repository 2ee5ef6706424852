"""The sentences of procedures: their numbers come from the policy's numbers.

A step, a slip, a move, a rule of asepsis or an item may name any number of the set or
of its procedures between braces, and says its value on the day.
"""

from __future__ import annotations

from dataclasses import is_dataclass, replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.rule_texts import names_of, number_faults
from lumenkeep.core.policy.sentences import (
    fill,
    has_loose_brace,
    places_in,
    said,
    stray_number,
)
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.policy.numbers import Number

TEXTS = frozenset(
    ("says", "look", "because", "redo", "keep", "stop", "mend", "label", "title")
)
PARTS = (
    *("procedures", "items", "rules", "slips", "moves", "room"),
    *("safe", "needed", "heads", "kinds"),
)


def sentence_faults(
    bedside: Bedside, numbers: Mapping[str, Number], own: Mapping[str, Number]
) -> Iterator[Fault]:
    """Yield a fault for each number that a sentence of the procedures holds of its own.

    Parameters
    ----------
    numbers
        Those of the set and of the procedures.
    own
        Those that the procedures' files state.
    """
    seen: set[tuple[str, str]] = set()
    for where, key, text in _sentences(bedside):
        place = f"{where}.{key}"
        if (place, text) in seen:
            continue
        seen.add((place, text))
        strange = [name for name in places_in(text) if name not in numbers]
        if strange or has_loose_brace(text):
            named = f"“{strange[0]}”" if strange else "a brace"
            yield Fault(
                "policy-sentence-names-nothing",
                f"This sentence has {named} where a number should be named.",
                place,
                "name a number of the set or of its procedures, as in {hub-scrub}",
            )
        stray = stray_number(text)
        if stray is not None:
            yield Fault(
                "policy-number-in-sentence",
                f"This sentence holds a number of its own: “{stray}”.",
                place,
                "define it under [number.…], and name it between braces",
            )
    for number in own.values():
        yield from number_faults(number)


def _sentences(bedside: Bedside) -> Iterator[tuple[str, str, str]]:
    for name in PARTS:
        part = getattr(bedside, name)
        for row in part.values() if isinstance(part, dict) else part:
            yield from _of(row)


def _of(row: Any) -> Iterator[tuple[str, str, str]]:
    for name in names_of(row):
        content = getattr(row, name)
        if name in TEXTS and isinstance(content, str):
            yield row.where, name, content
        elif isinstance(content, tuple):
            for inner in content:
                if is_dataclass(inner) and hasattr(inner, "where"):
                    yield from _of(inner)


def told(bedside: Bedside, day: date) -> Bedside:
    """Return what a set says about procedures, its sentences filled for a day."""

    def say(name: str, form: str) -> str:
        number = bedside.numbers[name]
        dated = number.on(day) or number.values[0]
        return said(number, dated.value, form)

    changes: dict[str, Any] = {}
    for name in PARTS:
        part = getattr(bedside, name)
        if isinstance(part, dict):
            changes[name] = {key: _told(row, say) for key, row in part.items()}
        else:
            changes[name] = tuple(_told(row, say) for row in part)
    return replace(bedside, **changes)


def _told(row: Any, say: Any) -> Any:
    changes: dict[str, Any] = {}
    for name in names_of(row):
        content = getattr(row, name)
        if name in TEXTS and isinstance(content, str):
            if "{" in content:
                changes[name] = fill(content, say)
        elif isinstance(content, tuple) and content and is_dataclass(content[0]):
            inner = tuple(_told(each, say) for each in content)
            if any(a is not b for a, b in zip(inner, content, strict=True)):
                changes[name] = inner
    return replace(row, **changes) if changes else row
