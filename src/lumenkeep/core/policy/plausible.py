"""Narrow what is unknown by what no child can be, and widen what was known long ago.

A mass charted lately is never touched. One older than the policy lets it count says only
how little the child may weigh; one that nobody charted, what no child of that age can.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from lumenkeep.core.policy.numbers import as_span

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.core.policy.child_rules import Weighing
    from lumenkeep.core.policy.policy import RuleBook
    from lumenkeep.core.policy.situation import Situation

WHOLE_PERCENT = 100


def narrowed(situation: Situation, book: RuleBook) -> Situation:
    """Return the situation with the mass as far as it is known at its instant.

    No child of a year weighs less than a kilogram, so nobody need ask a
    six-year-old's weight to choose an antiseptic. A newborn's mass of last week may be
    another by now.
    """
    if situation.weighed is not None:
        _weighed(situation, book)
    if situation.weighed is not None and not situation.is_mass_old:
        return situation
    for live in book.plausible:
        if live.when.truth(situation) is True:
            least = book.value(live.rule.at_least)
            situation.mass_low = max(situation.mass_low, float(least))  # type: ignore[arg-type]  # a mass
    return situation


def _weighed(situation: Situation, book: RuleBook) -> None:
    assert situation.weighed is not None  # noqa: S101  asked for by the caller
    grams = situation.weighed.grams
    until = mass_counts_until(situation, book)
    situation.is_mass_old = until is not None and situation.at >= until
    situation.mass_low = situation.mass_high = grams
    if situation.is_mass_old:
        _loosen(situation, book)


def _loosen(situation: Situation, book: RuleBook) -> None:
    """Leave of a weighing only how little the child may weigh by now."""
    rule = weighing_rule(situation, book)
    if rule is None or situation.weighed is None:
        return
    lost = float(book.value(rule.may_lose))  # type: ignore[arg-type]  # a share
    grams = situation.weighed.grams
    situation.is_mass_old = True
    situation.mass_low = grams * (WHOLE_PERCENT - lost) / WHOLE_PERCENT
    situation.mass_high = inf


def mass_counts_until(situation: Situation, book: RuleBook) -> datetime | None:
    """Return the instant from which the last weighing counts no more (UTC).

    None where nothing was weighed, or no rule says how long a weighing counts.
    """
    rule = weighing_rule(situation, book)
    return None if rule is None else _after(rule.counts_for, situation, book)


def weighed_anew(situation: Situation, book: RuleBook) -> Situation | None:
    """Return the situation as it may be after the new weighing that is asked for.

    None where none is asked for, or where the mass already counts no more.
    """
    rule = weighing_rule(situation, book)
    if rule is None or rule.asks_after is None or situation.is_mass_old:
        return None
    since = _after(rule.asks_after, situation, book)
    if since is None or situation.at < since:
        return None
    again = narrowed(situation.later(situation.at), book)
    _loosen(again, book)
    return again


def weighing_rule(situation: Situation, book: RuleBook) -> Weighing | None:
    """Return the rule by which the last weighing counts: the first that may hold.

    None where nothing was weighed, or no rule speaks of the child.
    """
    if situation.weighed is None:
        return None
    return next(
        (r.rule for r in book.weighings if r.when.truth(situation) is not False), None
    )


def _after(number: str, situation: Situation, book: RuleBook) -> datetime | None:
    if situation.weighed is None:
        return None
    return as_span(book.value(number)).after(situation.weighed.at, situation.zone)
