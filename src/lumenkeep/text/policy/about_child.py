"""Tell the rules about the child behind a plan: whom to call, its weighing, its film."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.text.policy.parts import Part
from lumenkeep.text.policy.words import capital

if TYPE_CHECKING:
    from lumenkeep.core.policy import LiveRule
    from lumenkeep.core.policy.child_rules import CallRule, FilmSize, Weighing
    from lumenkeep.text.policy.parts import Citations, Statement


def calls(tell: Citations) -> tuple[Statement, ...]:
    """Return whom to call for which children, in place of the set's own."""
    return tuple(_call(tell, live) for live in tell.book.calls)


def child_parts(tell: Citations) -> tuple[Part, ...]:
    """Return how long a weighing counts, and which film suits whom."""
    return (
        Part(
            "How long a weighing counts",
            tuple(_weighing(tell, live) for live in tell.book.weighings),
        ),
        Part(
            "The film, and the skin that is cleaned for it",
            tuple(_film(tell, live) for live in tell.book.films),
        ),
    )


def _whom(tell: Citations, live: LiveRule[CallRule | Weighing | FilmSize]) -> str:
    when = tell.when(live.when)
    return capital(f"when {when}") if when else "For everyone"


def _call(tell: Citations, live: LiveRule[CallRule]) -> Statement:
    text = f"{_whom(tell, live)}: call {live.rule.who}."
    return tell.statement(live, text)


def _weighing(tell: Citations, live: LiveRule[Weighing]) -> Statement:
    rule = live.rule
    text = (
        f"{_whom(tell, live)}: a weighing counts for {tell.words(rule.counts_for)}; "
        f"after that the child may have lost {tell.words(rule.may_lose)} of it."
    )
    numbers: tuple[str, ...] = (rule.counts_for, rule.may_lose)
    if rule.asks_after:
        numbers = (*numbers, rule.asks_after)
        after = tell.words(rule.asks_after)
        text += (
            f" After {after} a new one is asked for beside a plan that it may change."
        )
    return tell.statement(live, text, numbers=numbers)


def _film(tell: Citations, live: LiveRule[FilmSize]) -> Statement:
    rule = live.rule
    text = (
        f"{_whom(tell, live)}: a film of {tell.words(rule.width)} by "
        f"{tell.words(rule.height)}; clean the skin {tell.words(rule.area_low)} to "
        f"{tell.words(rule.area_high)} across."
    )
    named = (rule.width, rule.height, rule.area_low, rule.area_high)
    return tell.statement(live, text, numbers=named)
