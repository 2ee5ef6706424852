"""Claims that a change plan lays out what the steps of its procedure use.

What the steps use is handed in, for an engine above reads procedures; here it is held
against the rules of supply, over every child who gets a plan.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.times import CalendarSpan
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live
from lumenkeep.core.policy.solver.answers import SymbolicAnswer
from lumenkeep.core.policy.solver.child import (
    CHOICES,
    UNKNOWN,
    SymbolicChild,
    calendar_limits,
)
from lumenkeep.core.policy.solver.claims import Claim
from lumenkeep.core.policy.solver.formulas import NO, YES, rule_formula

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lumenkeep.core.policy.policy import LiveRule, RuleBook
    from lumenkeep.core.policy.rules import Supply


@dataclass(frozen=True, slots=True)
class Who:
    """Children for whom a change is done one way.

    Attributes
    ----------
    words
        Facts of child and line, with the words of which one is charted; an empty word
        is that nobody knows. A fact that is not named may be anything.
    masked
        Whether the child is of an age to be masked; None where that changes nothing.
    lies, lies_not
        Supplies of which some, and of which none, are laid out.
    """

    words: tuple[tuple[str, tuple[str, ...]], ...] = ()
    masked: bool | None = None
    lies: tuple[str, ...] = ()
    lies_not: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Use:
    """What the steps use of one thing (count), and for whom."""

    count: int
    who: Who


@dataclass(frozen=True, slots=True)
class Need:
    """What the steps of a change use of one thing, with one agent and dressing.

    Attributes
    ----------
    agent, dressing
        What the plan names.
    label
        What the thing is called.
    supplies
        The plan's words for it.
    uses
        How many, for which children.
    steps
        Id and sentence of the steps that use it.
    """

    agent: str
    dressing: str
    label: str
    supplies: tuple[str, ...]
    uses: tuple[Use, ...]
    steps: tuple[tuple[str, str], ...]


def laid_out(
    book: RuleBook, needs: Iterable[Need], mask_from: str | None
) -> Iterator[Claim]:
    """Yield the claim for each need that enough of it is laid out.

    Parameters
    ----------
    book
        The rules of a day.
    needs
        What the steps use.
    mask_from
        Number of the age from which a child is masked; None where the set has none.
    """
    spans = calendar_limits(book)
    when = LiveWhen(())
    if mask_from is not None:
        limit = book.value(mask_from)
        of_age = live(Comparison("age", "at_least", number=mask_from), limit)
        when = LiveWhen(((of_age,),))
        spans |= {limit} if isinstance(limit, CalendarSpan) else set()
    answer = SymbolicAnswer(book, SymbolicChild(spans, book.policy.bounds))
    masked = rule_formula(when, answer.child, {}).holds if mask_from else NO
    plans: dict[tuple[str, str], _Laid] = {}
    things: dict[tuple[str, tuple[str, ...]], list[Need]] = {}
    for need in needs:
        things.setdefault((need.label, need.supplies), []).append(need)
        key = (need.agent, need.dressing)
        if key not in plans:
            planned: dict[str, str | None] = {"agent": key[0], "dressing": key[1]}
            plans[key] = _Laid(answer, planned, masked)
    for (label, supplies), wanted in things.items():
        short = [_short(answer, need, plans) for need in wanted]
        rules = {
            rule.id: rule
            for need in wanted
            for rule in plans[need.agent, need.dressing].rules(supplies)
        }
        steps = {step[0]: step[1] for need in wanted for step in reversed(need.steps)}
        most = max(use.count for need in wanted for use in need.uses)
        yield Claim(
            "laid-out",
            f"Fewer are laid out than the steps use: {label}, {most} at the most, for "
            f"{', '.join(f'{id_} “{says}”' for id_, says in steps.items())}",
            z3.Or(short),
            answer.child,
            tuple(rules.values()),
            f"let the [[supply]] rows of {' and '.join(supplies)} count as many for all "
            "of these children"
            if supplies
            else "name the plan's own supply for it under [[item]], or lay it in the room",
        )


def _short(
    answer: SymbolicAnswer, need: Need, plans: dict[tuple[str, str], _Laid]
) -> z3.BoolRef:
    laid = plans[need.agent, need.dressing]
    few = z3.simplify(z3.Or([laid.is_short(need.supplies, u) for u in need.uses]))
    if z3.is_false(few):
        return NO
    return z3.And(answer.gives(need.agent), answer.covers(need.dressing), few)


class _Laid:
    """How many of a supply lie ready in one plan."""

    def __init__(
        self, answer: SymbolicAnswer, planned: dict[str, str | None], masked: z3.BoolRef
    ) -> None:
        self.answer = answer
        self.masked = masked
        self.by_item: dict[str, list[tuple[z3.BoolRef, LiveRule[Supply]]]] = {}
        for one in answer.book.supplies:
            # What is not decided is laid out in case.
            there = z3.simplify(z3.Not(answer.rule(one, planned).fails))
            if not z3.is_false(there):
                self.by_item.setdefault(one.rule.item, []).append((there, one))

    def rules(self, supplies: Iterable[str]) -> list[Supply]:
        """Return the rules that lay something of these out."""
        return [one.rule for item in supplies for _, one in self.by_item.get(item, ())]

    def is_short(self, supplies: Iterable[str], use: Use) -> z3.BoolRef:
        """Return that fewer lie ready than are used, for these children."""
        terms = []
        surely = 0
        for item in supplies:
            for there, one in self.by_item.get(item, ()):
                count = int(self.answer.book.value(one.rule.count))  # type: ignore[arg-type]  # a count
                if z3.is_true(there):
                    surely += count
                else:
                    terms.append((there, count))
        if surely >= use.count:
            return NO
        lacking = use.count - surely
        enough = z3.PbGe([(t, n) for t, n in terms if n], lacking) if terms else NO
        return z3.And(self._are(use.who), z3.Not(enough))

    def _are(self, who: Who) -> z3.BoolRef:
        parts = [self._is_one(fact, words) for fact, words in who.words]
        if who.masked is not None:
            parts.append(self.masked if who.masked else z3.Not(self.masked))
        parts += [self._lies(item) for item in who.lies]
        parts += [z3.Not(self._lies(item)) for item in who.lies_not]
        return z3.And(parts)

    def _is_one(self, fact: str, words: tuple[str, ...]) -> z3.BoolRef:
        child = self.answer.child
        if fact == "lumens":
            known, codes = child.lumens_known, [int(word or UNKNOWN) for word in words]
        elif fact in CHOICES:
            known = child.choice_known[fact]
            codes = [CHOICES[fact].index(w) if w else UNKNOWN for w in words]
        else:
            return YES  # as the dressing worn, which no rule of supply speaks of
        return z3.Or([known == code for code in codes])

    def _lies(self, item: str) -> z3.BoolRef:
        return z3.Or([there for there, _ in self.by_item.get(item, ())])
