"""What is said of a step, or of facts, as a nurse would say it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.words import VERBS

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lumenkeep.core.asepsis.procedure import Item
    from lumenkeep.core.asepsis.when import Rows

ACTORS = {
    "operator": "the operator",
    "assistant": "the assistant",
    "both": "both",
    "near": "everyone near",
    "child": "the child and who is with it",
}
FIRST_SENTENCE = re.compile(r"^.*?\.(?=\s|$)")


def sentence(says: str) -> str:
    """Return how a sentence begins, between quotes."""
    found = FIRST_SENTENCE.match(says)
    return f"“{found.group(0) if found else says}”"


def plain(words: Iterable[str]) -> str:
    """Return words of the files as text; "nothing" for none."""
    return ", ".join(word.replace("-", " ") for word in words) or "nothing"


def act(asked: Mapping[str, tuple[str, ...]]) -> str:
    """Return what is asked of a step as text, as in "scrub with the antiseptic: site"."""
    verbs = " or ".join(VERBS[verb] for verb in asked.get("verb", ()))
    rest = [
        f"{key.replace('_', ' ')} {plain(words)}"
        for key, words in asked.items()
        if key not in ("verb", "objects")
    ]
    about = plain(asked["objects"]) if "objects" in asked else ""
    return ", ".join(filter(None, (verbs, about, *rest)))


def facts(rows: Rows) -> str:
    """Return rows of facts as text; "always" for none."""
    told = (
        ", ".join(
            f"{fact.replace('_', ' ')} {' or '.join(sorted(words))}"
            for fact, words in row
        )
        for row in rows
    )
    return "; or ".join(told) or "always"


def pieces(counts: Iterable[tuple[str, int | str]], items: Mapping[str, Item]) -> str:
    """Return items with their counts as text; "nothing" for none."""
    return (
        ", ".join(
            f"{'as many as planned' if isinstance(count, str) else count} × "
            f"{items[item].label if item in items else item}"
            for item, count in counts
        )
        or "nothing"
    )
