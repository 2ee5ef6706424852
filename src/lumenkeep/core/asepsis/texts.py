"""The sentences of procedures: their numbers come from the policy's numbers.

A step, a slip, a move, a rule of asepsis or an item may name any number of the set or
of its procedures between braces, and says its value on the day.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.row_texts import (
    faults_in,
    filled_row,
    names_of,
    rows_in,
    said_on,
)
from lumenkeep.core.policy.rule_texts import number_faults

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from lumenkeep.core.asepsis.procedure import Bedside
    from lumenkeep.core.policy.numbers import Number
    from lumenkeep.errors import Fault

TEXTS = frozenset(
    ("says", "look", "because", "redo", "keep", "stop", "mend", "label", "title")
)
MENDS = (
    "name a number of the set or of its procedures, as in {hub-scrub}",
    "define it under [number.…], and name it between braces",
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
        yield from faults_in(
            text,
            place,
            numbers.__contains__,
            called="This sentence",
            wanted="a number",
            mends=MENDS,
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
        for inner in rows_in(content):
            if hasattr(inner, "where"):
                yield from _of(inner)


def told(bedside: Bedside, day: date) -> Bedside:
    """Return what a set says about procedures, its sentences filled for a day."""

    def say(name: str, form: str) -> str:
        return said_on(bedside.numbers[name], day, form)

    changes: dict[str, Any] = {}
    for name in PARTS:
        part = getattr(bedside, name)
        if isinstance(part, dict):
            changes[name] = {k: filled_row(row, TEXTS, say) for k, row in part.items()}
        else:
            changes[name] = tuple(filled_row(row, TEXTS, say) for row in part)
    return replace(bedside, **changes)
