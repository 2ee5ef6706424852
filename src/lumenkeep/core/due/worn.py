"""What the child has on, held against the same bars as what it will get.

A bar may come after the dressing did: a birthday passes, a weighing shows less, an
allergy is told of. Whatever surely bars what is worn makes it due now.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model import Unknown
from lumenkeep.core.model.case import SENSITIVITIES, substance_fact
from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.policy import LiveRule, Situation, narrowed
from lumenkeep.core.policy.rules import Exclusion

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import datetime

    from lumenkeep.core.policy import RuleBook
    from lumenkeep.core.policy.conditions import LiveComparison


@dataclass(frozen=True, slots=True)
class Bars:
    """The rules that bar what is worn.

    Attributes
    ----------
    held
        Those that surely do.
    open_
        Those that may, and whose fact somebody can be asked for.
    """

    held: tuple[LiveRule[Exclusion], ...] = ()
    open_: tuple[LiveRule[Exclusion], ...] = ()


def bars_on(book: RuleBook, situation: Situation, worn: str | None) -> Bars:
    """Return the bars on a dressing that the child has on.

    Parameters
    ----------
    worn
        Kind of dressing; None where nobody charted it. It may then be any, so each
        bar on any counts: not knowing never buys time.
    """
    held, open_ = {}, {}
    for live in _rules(book, worn):
        truth = live.when.truth(situation)
        if truth is True:
            held[live.rule.id] = live
        elif truth is None and worn and live.rule.if_unknown == "ask":
            open_[live.rule.id] = live
    return Bars(tuple(held.values()), tuple(open_.values()))


def barred_since(
    book: RuleBook, situation: Situation, worn: str | None, since: datetime | None
) -> datetime:
    """Return since when the child has had on what it may not (UTC).

    Parameters
    ----------
    situation
        The instant asked about, at which a bar holds.
    since
        When the dressing went on; None where unknown: then since now, as it is seen.

    Notes
    -----
    A bar that a charted fact turned holds since that fact is known (`Case.known_since`):
    nobody is late with what nobody knew.
    """
    at = situation.at
    if since is None:
        return at
    known = dict(situation.case.known_since)
    turns = {since, *(t for t in _turns(book, situation) if since < t <= at)}
    first = at
    for turn in sorted(turns, reverse=True):
        then = narrowed(Situation(situation.case, turn), book)
        if not any(_was_known(live, then, known) for live in _rules(book, worn)):
            break
        first = turn
    return first


def _rules(book: RuleBook, worn: str | None) -> Iterator[LiveRule[Exclusion]]:
    for kind in (worn,) if worn else DRESSINGS:
        yield from book.bars(kind)


def _was_known(
    live: LiveRule[Exclusion], then: Situation, known: Mapping[str, datetime]
) -> bool:
    """Return whether a bar held at an instant by what was known by then."""
    rows = live.when.rows
    return not rows or any(
        all(c.truth(then) is True and _known_by(c, then, known, then.at) for c in row)
        for row in rows
    )


def _known_by(
    comparison: LiveComparison,
    then: Situation,
    known: Mapping[str, datetime],
    at: datetime,
) -> bool:
    """Return whether the fact that a comparison speaks of was as it is by then."""
    fact, limit = comparison.fact, comparison.limit
    has = then.sensitivities
    if fact == SENSITIVITIES and has and isinstance(limit, frozenset) and limit & has:
        by_then = (known.get(substance_fact(w), at) <= at for w in limit & has)
        return all(by_then) if comparison.test == "includes_all" else any(by_then)
    return known.get(fact, at) <= at


def _turns(book: RuleBook, situation: Situation) -> Iterable[datetime]:
    """Yield every instant at which a bar may begin or end.

    Ages, weighings, findings, and whatever else was charted.
    """
    case = situation.case
    for limit in book.cells.age_limits:
        yield from situation.reaches(limit) or ()
    yield from (weight.at for weight in case.child.weights)
    found = case.line.dressing.findings
    if not isinstance(found, Unknown):
        yield from (f.at for f in found if f.at is not None)
    yield from (at for _, at in case.known_since)
