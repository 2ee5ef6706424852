"""What is asked at one line on a round, by the policy in force there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.rounds.look import DOES_NOT_APPLY, KEPT, NOT_KEPT, NOT_SEEN
from lumenkeep.core.policy import Situation

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy

WORDS = {
    KEPT: "Yes",
    NOT_KEPT: "No",
    NOT_SEEN: "Not seen",
    DOES_NOT_APPLY: "Does not apply",
}
"""The answers as a person taps them."""


@dataclass(frozen=True, slots=True)
class Question:
    """One item at one line.

    Attributes
    ----------
    answers
        Answers that may be given.
    does_not_apply
        When it does not apply, in words; empty where it always does.
    """

    item: str
    label: str
    asks: str
    answers: tuple[str, ...]
    does_not_apply: str
    watched: bool
    finds: bool = False


def questions(policy: Policy, case: Case, at: datetime) -> Iterator[Question]:
    """Yield what is asked at a line, in the order of the policy.

    An item whose condition rests on a fact that is not known is asked, and may be
    answered with "does not apply": unknown is never no.
    """
    book = policy.on(at.astimezone(case.zone).date())
    situation = Situation(case, at)
    for live in book.round_items:
        truth = live.when.truth(situation)
        if truth is False:
            continue
        rule = live.rule
        why = rule.may_not_apply or ""
        if truth is None and not why:
            why = "this child or line is not one of those it is asked for"
        yield Question(
            rule.id,
            rule.label,
            rule.asks,
            tuple(word for word in WORDS if why or word != DOES_NOT_APPLY),
            why,
            rule.watched,
            rule.finds,
        )
