"""A shipped set with more rules of its own: each bars something, or hands a child on.

The rules speak of every fact that there is, so that none of them can be left out of a
comparison or a proof.
"""

from __future__ import annotations

from itertools import cycle
from typing import TYPE_CHECKING

from lumenkeep.core.policy.archive import policy_from_texts, set_texts
from lumenkeep.core.policy.texts import SetTexts

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy

SET = "quillmere"
HEAD = """
[set]
id = "more"
title = "A set of the benchmarks"
version = "1"
extends = "quillmere"
call = "the vascular access nurse on call"
"""
NUMBER = '{{ value = {}, unit = "{}", from = 2024-01-01, source = "common-practice" }}'
WORDS = (
    ("findings", "includes", ("soiled", "damp", "loose", "sodden", "discharge")),
    ("unit", "is", ("intensive-care", "newborn-intensive-care")),
    ("line_kind", "is", ("picc", "tunnelled")),
    ("sensitivities", "includes", ("gel", "silicone", "latex", "adhesive")),
    ("in_use", "is", ("no",)),
    ("site", "is", ("upper-arm", "scalp", "lower-leg")),
    ("tunnelled", "is", ("no",)),
    ("patency", "is_not", ("open",)),
)
LIMITS = (
    ("mass", "below", "g", (700, 1100, 1250, 1700, 2300, 3000)),
    ("age", "below", "h", (100, 200, 400, 900, 2000, 4000)),
    ("gestation_at_birth", "below", "weeks+days", (25, 27, 29, 31, 33, 35)),
    ("lumens", "at_least", "count", (2, 3, 4, 5)),
)
BARS = (
    "povidone-iodine",
    "chlorhexidine-alcohol",
    "transparent",
    "transparent-chg-gel",
)


def with_more_rules(count: int) -> Policy:
    """Return the shipped set with so many more rules."""
    limits, words, bars = _limits(), _words(), cycle(BARS)
    rules = [
        _rule(number, next(limits), next(words), next(bars)) for number in range(count)
    ]
    own = SetTexts.of("more", {"set.toml": "\n".join([HEAD, *rules])})
    return policy_from_texts([*set_texts(SET), own])


def _rule(number: int, limit: str, word: str, item: str) -> str:
    shared = f'id = "more-{number}"\nbecause = "More."\nsource = "common-practice"\n'
    if number % 5 == 4:
        return f"[[refer]]\n{shared}when = [{{ {limit}, {word} }}]"
    whom = f"{{ {limit}, {word} }}" if number % 2 else f"{{ {word} }}"
    return f'[[exclude]]\n{shared}bars = ["{item}"]\nwhen = [{whom}]'


def _limits():
    rounds = [iter(cycle(values)) for *_, values in LIMITS]
    for which in cycle(range(len(LIMITS))):
        fact, test, unit, _ = LIMITS[which]
        value = next(rounds[which])
        said = f'"{value}w0d"' if unit == "weeks+days" else str(value)
        yield f"{fact} = {{ {test} = {NUMBER.format(said, unit)} }}"


def _words():
    rounds = [iter(cycle(values)) for *_, values in WORDS]
    for which in cycle(range(len(WORDS))):
        fact, test, _ = WORDS[which]
        yield f'{fact} = {{ {test} = ["{next(rounds[which])}"] }}'
