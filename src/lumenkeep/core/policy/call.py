"""Whom to call about a child."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lumenkeep.core.policy.policy import RuleBook
    from lumenkeep.core.policy.situation import Situation


def whom_to_call(book: RuleBook, situation: Situation) -> str:
    """Return whom to call about this child where a rule names nobody."""
    for live in book.calls:
        if live.when.truth(situation) is True:
            return live.rule.who
    return book.policy.call
