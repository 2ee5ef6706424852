"""The policy's answer as formulas: verdict, antiseptic, dressing and stay.

Written apart from the planner on purpose: that the two agree is one of the things
proved.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

import z3

from lumenkeep.core.policy.solver.child import SymbolicChild, calendar_limits
from lumenkeep.core.policy.solver.formulas import (
    NO,
    YES,
    Three,
    all_of,
    any_of,
    rule_formula,
)

if TYPE_CHECKING:
    from collections.abc import Hashable

    from lumenkeep.core.policy.policy import LiveRule, RuleBook
    from lumenkeep.core.policy.rules import Interval, Rule

    Active = tuple[tuple[LiveRule[Interval], z3.BoolRef, z3.BoolRef], ...]

Planned = Mapping[str, str | None]
NOTHING: Planned = {}


class SymbolicAnswer:
    """What a rule book answers for a symbolic child.

    Parameters
    ----------
    book
        The rules of a day.
    child
        The child; a fresh one is made if left out.
    narrow
        Whether an unknown mass is bounded by what the set calls plausible. Two
        answers about one child of whom everything is known leave it out.
    """

    def __init__(
        self, book: RuleBook, child: SymbolicChild | None = None, *, narrow: bool = True
    ) -> None:
        self.book = book
        self.policy = book.policy
        self.child = child or SymbolicChild(calendar_limits(book), book.policy.bounds)
        self._formulas: dict[Hashable, Three] = {}
        self._active: dict[Hashable, Active] = {}
        if narrow:
            self.child.narrow(self.least_mass())
            # What was made so far speaks of a mass that nothing bounds yet.
            self._formulas.clear()

    @cached_property
    def exclusions(self) -> list[Three]:
        """The exclusions of the book, in its order."""
        return [self.rule(live) for live in self.book.exclusions]

    @cached_property
    def referrals(self) -> list[Three]:
        """The rules by which a person must decide, in the book's order."""
        return [self.rule(live) for live in self.book.referrals]

    def rule(self, live: LiveRule[Rule], planned: Planned = NOTHING) -> Three:
        """Return a rule's condition over this child, made once for each plan."""
        key = (live.when, *sorted(planned.items()))
        found = self._formulas.get(key)
        if found is None:
            found = self._formulas[key] = rule_formula(live.when, self.child, planned)
        return found

    def least_mass(self) -> z3.ArithRef:
        """Return what an unknown mass is at the least, by what the set calls plausible."""
        least: z3.ArithRef = z3.RealVal(0)
        for live in self.book.plausible:
            bound = z3.RealVal(str(self.book.value(live.rule.at_least)))
            holds = self.rule(live).holds
            least = z3.If(z3.And(holds, bound > least), bound, least)
        return least

    def _barring(self, item: str) -> list[int]:
        return [i for i, e in enumerate(self.book.exclusions) if item in e.rule.bars]

    def barred(self, item: str) -> z3.BoolRef:
        """That some rule surely bars ``item``."""
        return any_of([self.exclusions[i].holds for i in self._barring(item)])

    def clear(self, item: str) -> z3.BoolRef:
        """That nothing bars ``item``, nor may but what only the bare site shows."""
        parts = []
        for i in self._barring(item):
            looked = self.book.exclusions[i].rule.if_unknown == "look"
            rule = self.exclusions[i]
            parts.append(z3.Not(rule.holds) if looked else rule.fails)
        return all_of(parts)

    def _first(self, order: Sequence[str], item: str) -> z3.BoolRef:
        before = order[: order.index(item)]
        return z3.And(
            z3.Not(self.barred(item)), *(self.barred(other) for other in before)
        )

    def _certain(self, order: Sequence[str], item: str) -> z3.BoolRef:
        before = order[: order.index(item)]
        return z3.And(
            self.clear(item), *(z3.Not(self.clear(other)) for other in before)
        )

    @cached_property
    def refers(self) -> z3.BoolRef:
        """That a rule surely hands the child to a person."""
        return any_of([r.holds for r in self.referrals])

    @cached_property
    def may_refer(self) -> z3.BoolRef:
        """That a rule may hand the child to a person."""
        return any_of([r.is_open for r in self.referrals])

    @cached_property
    def stops(self) -> z3.BoolRef:
        """Verdict "stop"."""
        every = all_of([self.barred(a) for a in self.policy.antiseptics])
        return z3.Or(self.refers, every)

    @cached_property
    def plans(self) -> z3.BoolRef:
        """Verdict "plan"."""
        order = self.policy.antiseptics
        decided = any_of([z3.And(self._first(order, a), self.clear(a)) for a in order])
        return z3.And(z3.Not(self.stops), z3.Not(self.may_refer), decided)

    @cached_property
    def asks(self) -> z3.BoolRef:
        """Verdict "ask"."""
        return z3.And(z3.Not(self.stops), z3.Not(self.plans))

    def gives(self, agent: str) -> z3.BoolRef:
        """That the plan names ``agent``."""
        order = self.policy.antiseptics
        return z3.And(self.plans, self._first(order, agent), self.clear(agent))

    def keeps_to(self, agent: str) -> z3.BoolRef:
        """That ``agent`` is named until more is known."""
        certain = self._certain(self.policy.antiseptics, agent)
        return z3.And(self.asks, z3.Not(self.may_refer), certain)

    def covers(self, dressing: str) -> z3.BoolRef:
        """That the plan, or the question, names ``dressing``."""
        certain = self._certain(self.policy.dressings, dressing)
        return z3.And(z3.Not(self.stops), certain)

    def really_barred(self, item: str, *, looked_at: bool = False) -> z3.BoolRef:
        """That some rule bars ``item`` as things are; of "look" rules only if asked."""
        return any_of(
            [
                self.exclusions[i].really
                for i in self._barring(item)
                if looked_at or self.book.exclusions[i].rule.if_unknown == "ask"
            ]
        )

    def active(self, task: str, planned: Planned) -> Active:
        """Return each interval of a task with that it surely, and possibly, counts.

        One counts where no rule of higher priority surely does.
        """
        key = (task, *sorted(planned.items()))
        found = self._active.get(key)
        if found is None:
            found = self._active[key] = self._counting(task, planned)
        return found

    def _counting(self, task: str, planned: Planned) -> Active:
        rules = [(i, self.rule(i, planned)) for i in self.book.intervals_of(task)]
        found = []
        for live, three in rules:
            over = any_of(
                [
                    other.holds
                    for higher, other in rules
                    if higher.rule.priority > live.rule.priority
                ]
            )
            top = z3.Not(over)
            found.append(
                (live, z3.And(three.holds, top), z3.And(z3.Not(three.fails), top))
            )
        return tuple(found)

    def site_rule_counts(self, position: int, agent: str) -> z3.BoolRef:
        """That a site rule counts: it holds, or may."""
        live = self.book.site_rules[position]
        return z3.Not(self.rule(live, {"agent": agent}).fails)


__all__ = ["NO", "YES", "Planned", "SymbolicAnswer"]
