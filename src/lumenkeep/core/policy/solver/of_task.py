"""Claims about what a requirement says of a task: when it is due, and when it is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.words import DRESSINGS, SET_KINDS
from lumenkeep.core.policy.numbers import as_span
from lumenkeep.core.policy.solver import led

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.core.policy.policy import LiveRule
    from lumenkeep.core.policy.rules import Requirement
    from lumenkeep.core.policy.solver.answers import SymbolicAnswer
    from lumenkeep.core.policy.solver.led import Led


def stay_broken(
    answer: SymbolicAnswer, rule: Requirement, planned: Mapping[str, str], label: str
) -> Iterator[tuple[z3.BoolRef, str]]:
    """Yield how the window of the rule's task may break the requirement.

    Parameters
    ----------
    planned
        The dressing or the kind of set that it is about.
    label
        The same in words.
    """
    active = answer.active(rule.task, planned)
    limits = [
        (possibly, as_span(answer.book.value(live.rule.not_after)).nominal_hours())
        for live, _, possibly in active
        if live.rule.not_after
    ]
    if rule.no_clock:
        yield z3.Or([possibly for possibly, _ in limits]), f"a clock runs for {label}"
    if rule.nothing_due:
        due = [may for live, _, may in active if not live.rule.nothing_due]
        yield z3.Or(due), f"{label} may be due"
    if rule.stays_at_most:
        most = as_span(answer.book.value(rule.stays_at_most)).nominal_hours()
        within = [possibly for possibly, hours in limits if hours <= most]
        yield z3.Not(z3.Or(within)), f"{label} may stay longer"
    if rule.rests_at_least:
        rest = as_span(answer.book.value(rule.rests_at_least)).nominal_hours()
        soon = [
            possibly
            for live, _, possibly in active
            if not live.rule.nothing_due and _hours(answer, live.rule.not_before) < rest
        ]
        yield z3.Or(soon), f"{label} may be changed sooner"
    if rule.stays_at_least:
        least = as_span(answer.book.value(rule.stays_at_least)).nominal_hours()
        short = [possibly for possibly, hours in limits if hours < least]
        yield z3.Or(short), f"{label} must go sooner"


def _hours(answer: SymbolicAnswer, number: str | None) -> float:
    """Return a time in hours; none at all where no number is named."""
    return as_span(answer.book.value(number)).nominal_hours() if number else 0


def task_broken(
    answer: SymbolicAnswer, live: LiveRule[Requirement]
) -> Iterator[tuple[z3.BoolRef, str, Led]]:
    """Yield how what falls due on the line may break the requirement."""
    rule = live.rule
    if rule.at_once or rule.not_at_once:
        held = z3.Or(
            [
                answer.rule(one).holds
                for one in answer.book.at_once
                if one.rule.task == rule.task
            ]
        )
        broken, but = held, f"the task {rule.task} is due at once"
        if rule.at_once:
            broken, but = z3.Not(held), f"the task {rule.task} is not due at once"
        applies = answer.rule(live).holds
        yield z3.And(applies, broken), but, led.by_at_once(answer, rule)
    for planned, label in _of_each_kind(rule.task):
        three = answer.rule(live, planned)
        applies = three.holds if rule.if_charted else three.really
        for broken, but in stay_broken(answer, rule, planned, label):
            by = led.by_stay(answer, rule.task, planned)
            yield z3.And(applies, broken), but, by


def _of_each_kind(task: str) -> list[tuple[dict[str, str], str]]:
    """Return each thing that a task may be about: also what no set itself would use."""
    if task == "dressing":
        return [
            ({"dressing": kind}, f"“{words.lower()}”")
            for kind, words in DRESSINGS.items()
        ]
    if task == "set":
        return [({"set_kind": kind}, f"a set ({kind})") for kind in SET_KINDS]
    return [({}, f"the task {task}")]
