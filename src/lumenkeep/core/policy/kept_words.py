"""Say what a part of a statement was, and what it is now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.numbers import value_in_words
from lumenkeep.core.policy.vocabulary import FACTS
from lumenkeep.core.policy.watch_rules import WHO, Grade

if TYPE_CHECKING:
    from lumenkeep.core.policy.conditions import Comparison
    from lumenkeep.core.policy.kept_numbers import CoreLimits

NOUNS = {
    "agent": "antiseptic",
    "exclude": "bar",
    "chart": "charted fact",
    "film": "size of film",
    "length_limit": "limit of length",
    "measuring": "measuring",
    "round_item": "item of the line round",
    "round_plan": "plan of the line round",
}

PARTS = {
    "hold": "the line is not used until",
    "who": "acts",
    "then": "then goes to",
    "required": "must be charted",
    "finds": "said more closely",
    "if_unknown": "while unknown",
    "contains": "holds",
    "residue": "taken off with",
    "positions": "who says what",
}
"""Parts whose key says less than they mean."""


def noun(kind: str) -> str:
    """Return what a kind of statement is called."""
    return NOUNS.get(kind, kind)


def part_in_words(part: str, was: Any, now: Any, limits: CoreLimits) -> str:
    """Return a part of a statement with what it was and what it is now."""
    one = _content(was, limits, of_core=True)
    other = _content(now, limits, of_core=False)
    return f"{PARTS.get(part) or part.replace('_', ' ')} {one} → {other}"


def _content(content: Any, limits: CoreLimits, *, of_core: bool) -> str:
    if content is None or content in ((), ""):
        return "nothing"
    if isinstance(content, bool):
        return "yes" if content else "no"
    if isinstance(content, tuple) and isinstance(content[0], tuple):
        rows = (
            " and ".join(_comparison(one, limits, of_core=of_core) for one in row)
            for row in content
        )
        return "; or ".join(rows)
    if isinstance(content, tuple):
        return ", ".join(map(_one, content))
    number = limits.number(content, of_core=of_core)
    if number is not None:
        value = number.on_or_first(limits.day)
        return value_in_words(value.value, number.unit)
    return WHO.get(content) or (f"“{content}”" if " " in str(content) else str(content))


def _one(content: Any) -> str:
    if isinstance(content, Grade):
        return str(content.grade)
    return str(getattr(content, "source", content))


def _comparison(one: Comparison, limits: CoreLimits, *, of_core: bool) -> str:
    fact = FACTS[one.fact]
    limit = ", ".join(one.words)
    if one.number is not None:
        limit = _content(one.number, limits, of_core=of_core)
    return f"{fact.label} {one.test.replace('_', ' ')} {limit}"
