"""The sentences of rules: where they stand, what they may name, and filling them.

A rule's sentence may name the rule's own numbers: those it decides with, and those
listed under its ``numbers``. What only reports a document says so (``reports``), and may
hold the document's figures.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.row_texts import (
    faults_in,
    filled_row,
    names_of,
    rows_in,
    said_on,
)
from lumenkeep.core.policy.sentences import stray_number
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from lumenkeep.core.policy.numbers import Number
    from lumenkeep.core.policy.rules import Rule

TEXTS = frozenset(
    [
        "because",
        "lifts",
        "call",
        "label",
        "dry_judgement",
        "motion_words",
        "residue_words",
        "helper",
        "topic",
        "asks",
        "hold",
        "arm_note",
        "flatters",
        "population",
        "may_not_apply",
        "says",
        "does",
        "gloves",
        "choices",
    ]
)
"""Fields that hold sentences, of rules and of the rows within them."""
MEND = (
    "name the number between braces, as in {dressing-gauze}; what only reports a "
    "document is marked with reports = true"
)


def sentences_of(rule: Rule) -> Iterator[tuple[str, str]]:
    """Yield place and text of each sentence of a rule, as written."""
    yield from _of(rule, "")


def _of(value: Any, before: str) -> Iterator[tuple[str, str]]:
    for name in names_of(value):
        if name in TEXTS:
            content = getattr(value, name)
            texts = (content,) if isinstance(content, str) else content or ()
            yield from ((f"{before}{name}", text) for text in texts)
        else:
            for number, row in enumerate(rows_in(getattr(value, name))):
                yield from _of(row, f"{before}{name}[{number}].")


def own_numbers(rule: Rule, numbers: Mapping[str, Number]) -> frozenset[str]:
    """Return the ids of the numbers that a rule decides with or lists."""
    return _named_by(rule) & numbers.keys()


def _named_by(rule: Rule) -> frozenset[str]:
    """Return every id that a rule may mean a number by, whether there is one or not."""
    own = {c.number for row in rule.when for c in row if c.number}
    for name in names_of(rule):
        content = getattr(rule, name)
        if name not in TEXTS and isinstance(content, str):
            own.add(content)
    return frozenset((*own, *rule.numbers, f"{rule.id}.low", f"{rule.id}.high"))


def _meant(name: str, own: frozenset[str], rule: Rule) -> str | None:
    """Return the own number that a sentence names: by id, its end, or the rule's key."""
    if name in own:
        return name
    under_key = getattr(rule, name, None) if name.isidentifier() else None
    if under_key in own:
        return str(under_key)
    ending = sorted(id_ for id_ in own if id_.endswith(f".{name}"))
    return ending[0] if len(ending) == 1 else None


def sentence_faults(rule: Rule, numbers: Mapping[str, Number]) -> Iterator[Fault]:
    """Yield a fault for each number that a rule's sentences hold of their own."""
    meant = _named_by(rule)
    may_be = ", ".join(sorted(meant & numbers.keys())) or "(the rule has none)"
    for place, text in sentences_of(rule):
        yield from faults_in(
            text,
            f"{rule.where}.{place}",
            lambda name: _meant(name, meant, rule) is not None,
            called=f"The sentence of '{rule.id}'",
            wanted="a number of the rule",
            mends=(f"name one of: {may_be}; list others under numbers = […]", MEND),
            reports=rule.reports,
        )


def number_faults(number: Number) -> Iterator[Fault]:
    """Yield a fault where the words of a number hold a number themselves."""
    is_made = number.means.startswith("'") and "." in number.id
    stray = None if is_made else stray_number(number.means)
    if stray is not None:
        yield Fault(
            "policy-number-in-sentence",
            f"The words of number '{number.id}' hold a number of their own: “{stray}”.",
            f"{number.where}.means",
            "say what it means without its value, which stands beside it",
        )


def filled(rule: Rule, numbers: Mapping[str, Number], day: date) -> Rule:
    """Return a rule with its sentences filled from the numbers of a day.

    A number that is not in force on the day is said with its first value.
    """
    if not any("{" in text for _, text in sentences_of(rule)):
        return rule
    own = own_numbers(rule, numbers)

    def say(name: str, form: str) -> str:
        return said_on(numbers[_meant(name, own, rule) or name], day, form)

    return filled_row(rule, TEXTS, say)
