"""Narrow what is unknown by what no child can be.

A known fact is never touched: it only rules when nothing was charted.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lumenkeep.policy.policy import RuleBook
    from lumenkeep.policy.situation import Situation


def narrowed(situation: Situation, book: RuleBook) -> Situation:
    """Return the situation with an unknown mass bounded from below where the policy may.

    No child of a year weighs less than a kilogram, so nobody need ask a
    six-year-old's weight to choose an antiseptic.
    """
    if situation.weighed is not None:
        return situation
    for live in book.plausible:
        if live.when.truth(situation) is True:
            least = book.value(live.rule.at_least)
            situation.mass_low = max(situation.mass_low, float(least))  # type: ignore[arg-type]  # a mass
    return situation
