"""Look up what the policy says about lengths for one line at one instant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.watch.length_values import LengthRules, Limit, MeasuringError

if TYPE_CHECKING:
    from lumenkeep.core.policy import LiveRule, RuleBook, Situation
    from lumenkeep.core.policy.watch_rules import LengthLimit, Measuring

PERCENT = 100
MOVED = "length-moved"
ARM_FIELD = "chart-arm"
"""The policy's field for how the arm lay; it is charted as ``arm``."""


def length_rules(book: RuleBook, situation: Situation) -> LengthRules:
    """Return the limits that hold or may hold, and the measuring rule that surely does.

    A limit for a child of unknown mass counts: it is the safe side. Of the measuring
    rules the one of highest priority counts.
    Where it is not known whether the arm matters, it does.
    """
    limits = tuple(
        _limit(book, live)
        for live in book.length_limits
        if live.when.truth(situation) is not False
    )
    holding = [
        live.rule for live in book.measuring if live.when.truth(situation) is True
    ]
    asks_arm = bool(arm_choices(book, situation))
    if not holding:
        return LengthRules(limits, asks_arm=asks_arm)
    rule = max(holding, key=lambda one: one.priority)
    return _rules(book, rule, limits, asks_arm=asks_arm)


def measuring_rules(book: RuleBook) -> tuple[Measuring, LengthRules] | None:
    """Return the measuring rule of highest priority, and how it judges, for any child.

    Of no child in particular, so without limits; None where the policy states none.
    """
    rules = [live.rule for live in book.measuring]
    if not rules:
        return None
    rule = max(rules, key=lambda one: one.priority)
    return rule, _rules(book, rule, (), asks_arm=False)


def _rules(
    book: RuleBook, rule: Measuring, limits: tuple[Limit, ...], *, asks_arm: bool
) -> LengthRules:
    return LengthRules(
        limits,
        _error(book, rule),
        rule.other_arm is not None,
        _plain(book, rule.false_alarm) / PERCENT,
        rule.arm_note or "",
        int(_plain(book, rule.over)) if rule.over else None,
        _plain(book, rule.asks) / PERCENT if rule.asks else 0.0,
        asks_arm,
    )


def arm_choices(book: RuleBook, situation: Situation) -> tuple[str, ...]:
    """Return how the arm may lie, where the policy asks, or may ask, for it."""
    for live in book.chart_fields:
        is_asked = live.when.truth(situation) is not False
        if live.rule.id == ARM_FIELD and is_asked:
            return live.rule.choices
    return ()


def moved_asks(book: RuleBook) -> str:
    """Return what the policy asks where a line has moved, and until when it is held."""
    rules = [live.rule for live in book.concerns if MOVED in live.rule.signs]
    if not rules:
        return ""
    rule = rules[0]
    return (
        f"{rule.asks} Do not use the line until {rule.hold}."
        if rule.hold
        else rule.asks
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
