"""Look up what the policy says about lengths for one line at one instant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.watch.length import LengthRules, Limit
from lumenkeep.watch.length_evidence import MeasuringError

if TYPE_CHECKING:
    from lumenkeep.policy import LiveRule, RuleBook, Situation
    from lumenkeep.policy.watch_rules import LengthLimit, Measuring

PERCENT = 100


def length_rules(book: RuleBook, situation: Situation) -> LengthRules:
    """Return the limits that hold or may hold, and the measuring rule that surely does.

    A limit for a child of unknown mass counts: it is the safe side. Of the measuring
    rules the one of highest priority counts.
    """
    limits = tuple(
        _limit(book, live)
        for live in book.length_limits
        if live.when.truth(situation) is not False
    )
    holding = [
        live.rule for live in book.measuring if live.when.truth(situation) is True
    ]
    if not holding:
        return LengthRules(limits)
    rule = max(holding, key=lambda one: one.priority)
    return LengthRules(
        limits,
        _error(book, rule),
        rule.other_arm is not None,
        _plain(book, rule.false_alarm) / PERCENT,
        rule.arm_note or "",
    )


def _limit(book: RuleBook, live: LiveRule[LengthLimit]) -> Limit:
    rule = live.rule
    number = rule.at_least or rule.above or ""
    return Limit(rule.id, rule.direction, _plain(book, number), rule.above is not None)


def _error(book: RuleBook, rule: Measuring) -> MeasuringError:
    return MeasuringError(
        sd=_plain(book, rule.error),
        other_arm_sd=_plain(book, rule.other_arm) if rule.other_arm else 0.0,
        usual_move=_plain(book, rule.usual_move),
        moves=_plain(book, rule.moves) / PERCENT,
    )


def _plain(book: RuleBook, number: str) -> float:
    """Return a length (mm) or a percentage; reading has checked the kind."""
    return float(book.value(number))  # type: ignore[arg-type]  # never a time
