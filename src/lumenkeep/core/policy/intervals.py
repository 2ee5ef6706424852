"""The interval that applies to one task in one situation.

Where it is not decided which rule applies, the strictest of those that may apply
is used: unknown never buys time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model import Span
from lumenkeep.core.policy.numbers import as_span
from lumenkeep.core.policy.rules import Interval
from lumenkeep.errors import Fault, RuleConflictError

if TYPE_CHECKING:
    from lumenkeep.core.policy.policy import LiveRule, RuleBook
    from lumenkeep.core.policy.situation import Situation


@dataclass(frozen=True, slots=True)
class Window:
    """From when and until when a task may be done, counted from the last time.

    Attributes
    ----------
    not_before, not_after
        None where no such limit exists.
    rules
        Every interval rule that applies, or may apply.
    is_decided
        False where facts that are not known would decide which time counts.
    """

    not_before: Span | None
    not_after: Span | None
    rules: tuple[Interval, ...]
    is_decided: bool

    @property
    def is_nothing(self) -> bool:
        """Whether the task surely does not arise."""
        return all(rule.nothing_due for rule in self.rules)

    @property
    def counted(self) -> tuple[Interval, ...]:
        """The rules that give a time, or say that none runs."""
        return tuple(rule for rule in self.rules if not rule.nothing_due)


def window_for(book: RuleBook, situation: Situation, task: str) -> Window | None:
    """Return the window of ``task``; None when no rule applies.

    Raises
    ------
    RuleConflictError
        ``rules-conflict``: two rules of equal priority surely apply; neither is
        picked.
    """
    held: list[LiveRule[Interval]] = []
    open_: list[LiveRule[Interval]] = []
    for live in book.intervals_of(task):
        truth = live.when.truth(situation)
        if truth is True:
            held.append(live)
        elif truth is None:
            open_.append(live)
    if held:
        top = max(live.rule.priority for live in held)
        held = [live for live in held if live.rule.priority == top]
        open_ = [live for live in open_ if live.rule.priority >= top]
        if len(held) > 1:
            raise _conflict(held)
    possible = [live.rule for live in (*held, *open_)]
    if not possible:
        return None
    timed = [rule for rule in possible if not rule.nothing_due]
    return Window(
        not_before=_common(book, timed),
        not_after=_shortest(book, timed),
        rules=tuple(possible),
        is_decided=all(live.rule.nothing_due for live in open_),
    )


def _shortest(book: RuleBook, rules: list[Interval]) -> Span | None:
    spans = [as_span(book.value(rule.not_after)) for rule in rules if rule.not_after]
    return min(spans, key=lambda span: span.nominal_hours()) if spans else None


def _common(book: RuleBook, rules: list[Interval]) -> Span | None:
    if not rules or any(rule.not_before is None for rule in rules):
        return None
    spans = [as_span(book.value(rule.not_before)) for rule in rules if rule.not_before]
    return min(spans, key=lambda span: span.nominal_hours())


def _conflict(held: list[LiveRule[Interval]]) -> RuleConflictError:
    names = " and ".join(f"'{live.rule.id}'" for live in held)
    places = "; ".join(live.rule.where for live in held)
    return RuleConflictError(
        Fault(
            "rules-conflict",
            f"The intervals {names} both apply, and neither has priority.",
            places,
            "narrow one's conditions, or give one a higher 'priority'",
        )
    )
