"""Whether there is a plan, something to ask first, or somebody to call."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.planning.choose import Choice, choose
from lumenkeep.core.policy import LiveRule
from lumenkeep.core.policy.rules import Referral

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import Situation, Truth


@dataclass(frozen=True, slots=True)
class Verdict:
    """The word of the answer and what it rests on.

    Attributes
    ----------
    word
        "plan", "ask" or "stop".
    choice
        The outcome of trying the antiseptics in order.
    referring, may_refer
        Rules by which a person must decide, and those that may say so.
    """

    word: str
    choice: Choice
    referring: tuple[LiveRule[Referral], ...]
    may_refer: tuple[LiveRule[Referral], ...]

    @property
    def agent(self) -> str | None:
        """The antiseptic of a plan."""
        return self.choice.certain if self.word == "plan" else None

    @property
    def until_known(self) -> str | None:
        """With "ask": an agent that no completion of the unknown facts bars."""
        if self.word != "ask" or self.may_refer:
            return None
        return self.choice.certain


def decide(
    prepared: Prepared, situation: Situation, judged: Sequence[Truth]
) -> Verdict:
    """Return the verdict, given which exclusions hold.

    A referral, or an order in which every agent is barred, stops; whatever is left
    undecided on the way to the first agent not barred is asked.
    """
    choice = choose(prepared, judged, prepared.book.policy.antiseptics)
    asked = [(r, r.when.truth(situation)) for r in prepared.book.referrals]
    referring = tuple(r for r, truth in asked if truth is True)
    may_refer = tuple(r for r, truth in asked if truth is None)
    if referring or choice.first is None:
        word = "stop"
    elif may_refer or not choice.is_decided:
        word = "ask"
    else:
        word = "plan"
    return Verdict(word, choice, referring, may_refer)
