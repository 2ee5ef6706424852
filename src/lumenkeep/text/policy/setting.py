"""The conditions of a procedure's steps in words, as they stand after "only"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import words
from lumenkeep.text.policy.words import SITE_PHRASES, UNIT_PHRASES, item_words, listed

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.when import Condition, When
    from lumenkeep.core.policy import Policy

PHRASES: dict[tuple[str, str], str] = {
    ("motion", "back-and-forth"): "where the antiseptic is rubbed in back and forth",
    ("motion", "outward-circles"): "where the antiseptic goes on in circles outward",
    ("residue", "yes"): "where what is left of the antiseptic is taken off again",
    ("residue", "no"): "where the plan takes nothing off again",
    ("soil", "yes"): "where crust, blood or glue is on it",
    ("soil", "no"): "where it is clean",
    ("securement", "change"): "where a new securement is put on",
    ("securement", "keep"): "where the securement stays",
    ("technique", "sterile"): "where it is done with masks, field and sterile gloves",
    ("technique", "non-touch"): "where it is done in clean gloves without touch",
    ("masks", "child-too"): "with a child old enough for a mask",
    ("masks", "not-the-child"): "with a child too young for a mask",
}
NOT_PHRASES: dict[tuple[str, str], str] = {
    ("unit", "newborn-intensive-care"): "outside newborn intensive care",
}

REST_PHRASES = {
    "site": "at another site, or where the site is not known",
    "worn": "where it is not known what the old dressing is",
}


def condition_words(when: When, policy: Policy) -> str:
    """Return conditions as a phrase; rows joined with "or", in a row with "and"."""
    rows = [" and ".join(_one(c, policy) for c in row) for row in when]
    return ", or ".join(rows)


def _one(condition: Condition, policy: Policy) -> str:
    fact, chosen = condition.fact, sorted(condition.words)
    if not condition.wanted:
        if len(chosen) > 1 and fact in REST_PHRASES:
            return REST_PHRASES[fact]
        whole = NOT_PHRASES.get((fact, chosen[0])) if len(chosen) == 1 else None
        return whole or f"not {_phrase(fact, chosen, policy)}"
    return _phrase(fact, chosen, policy)


def _phrase(fact: str, chosen: list[str], policy: Policy) -> str:
    if (fact, chosen[0]) in PHRASES:
        return listed([PHRASES[fact, word] for word in chosen], "or")
    if fact == "site":
        places = [SITE_PHRASES.get(word, word) for word in chosen]
        return f"where the line enters {listed(places, 'or')}"
    if fact == "unit":
        return listed([UNIT_PHRASES.get(word, word) for word in chosen], "or")
    if fact == "findings":
        named = [words.FINDINGS.get(word, word).lower() for word in chosen]
        return f"where the dressing is {listed(named, 'or')}"
    named = [item_words(policy, word) for word in chosen]
    before = {
        "agent": "with",
        "dressing": "where the new dressing is",
        "worn": "where the old dressing is",
    }.get(fact, f"where {fact} is")
    return f"{before} {listed(named, 'or')}"
