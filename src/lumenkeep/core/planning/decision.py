"""What is done for the children of one cell: go on or not, with what, under what.

Everything else of a plan is said about this: why, with which supplies, until when.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.planning.choose import Choice, choose, judge
from lumenkeep.core.planning.dressing import DressingCover, cover_for
from lumenkeep.core.planning.plan import Technique
from lumenkeep.core.planning.technique import (
    films_that_may_suit,
    site_rules_that_may_apply,
    technique,
)
from lumenkeep.core.planning.verdict import Verdict, decide
from lumenkeep.core.policy import LiveRule, Truth
from lumenkeep.core.policy.rules import SiteRule

if TYPE_CHECKING:
    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import Situation


@dataclass(frozen=True, slots=True)
class Decision:
    """What is decided in one cell.

    Attributes
    ----------
    judged
        Whether each exclusion of the book holds, in the book's order.
    way
        How the skin is cleaned with the antiseptic planned, or kept to until more is
        known; None where there is neither.
    films
        The choice among the dressings, of which ``cover`` is the one that goes on.
    held_sites, open_sites
        Site rules that hold, and those that an unknown site leaves open.
    """

    judged: tuple[Truth, ...]
    verdict: Verdict
    way: Technique | None
    films: Choice
    cover: DressingCover | None
    held_sites: list[LiveRule[SiteRule]]
    open_sites: list[LiveRule[SiteRule]]


def decision(prepared: Prepared, situation: Situation) -> Decision:
    """Return what is decided; sets the situation's ``agent`` and ``dressing``."""
    book = prepared.book
    situation.agent = situation.dressing = None
    judged = judge(prepared, situation)
    verdict = decide(prepared, situation, judged)
    situation.agent = verdict.agent or verdict.until_known
    held, open_ = site_rules_that_may_apply(book, situation)
    way = None
    if situation.agent is not None:
        films_of_child = films_that_may_suit(book, situation)
        way = technique(book, situation.agent, [*held, *open_], films_of_child)
    films = choose(prepared, judged, book.policy.dressings)
    goes_on = verdict.word != "stop"
    cover = cover_for(prepared, films, situation) if goes_on else None
    return Decision(tuple(judged), verdict, way, films, cover, held, open_)
