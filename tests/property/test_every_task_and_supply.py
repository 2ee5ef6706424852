"""Planner and due times agree with a second evaluator, for every task and supply.

A sample runs with the tests; ``make agreement`` asks about 100,000 cases.
"""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import pytest
from tests.fakes.enumerator import Facts, reached_at
from tests.fakes.line_enumerator import (
    Hung,
    LineEnumerator,
    OnTheLine,
    supplies_read,
    tasks_read,
)
from tests.property.test_agreement import OTHERS, case_of, or_not_given

from lumenkeep.core.due import due_tasks
from lumenkeep.core.model import Birth, CalendarSpan, Case, InfusionSet, People, Person
from lumenkeep.core.model.words import (
    DRESSINGS,
    FINDINGS,
    SENSITIVITIES,
    SET_KINDS,
    SITES,
)
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy import Policy

DAY = date(2026, 3, 15)
SHIPPED = ("quillmere", "uk-guideline", "us-guideline")
CASES = int(os.environ.get("LUMENKEEP_AGREEMENT_CASES", "3000"))
"""Cases over all sets; ``make agreement`` asks for more."""
SHARES = max(4, CASES // 6000)
"""Tests that each set is gone through in; a share takes a minute or two at most."""
SEED = 20261130
MINUTE = timedelta(minutes=1)
HOURS_IN_A_MONTH = 730
ZONES = (UTC, ZoneInfo("America/New_York"), ZoneInfo("Europe/London"))
GLOVES = (None, "6", "7")
FACTS = {
    **OTHERS,
    "site": (None, *SITES),
    "sensitivities": (
        None,
        frozenset(),
        frozenset(),
        *(frozenset({one}) for one in SENSITIVITIES),
        frozenset({"adhesive", "silicone"}),
    ),
    "findings": (
        None,
        frozenset(),
        frozenset(),
        frozenset(),
        *(frozenset({one}) for one in FINDINGS),
    ),
    "mass": (None, 600, 999, 1000, 1001, 1499, 1500, 2999, 3000, 9000, 25_000),
}
ORDINARY_GESTATION = 280
LEAST_ITEMS = 15


class Draw:
    """Draws children and lines, near the limits that the rules draw."""

    def __init__(self, enumerator: LineEnumerator, seed: int) -> None:
        self.random = Random(seed)  # noqa: S311  a sample, not a secret
        self.ages = enumerator.limits("age")
        self.gestations = enumerator.limits("gestation_at_birth")
        policy = enumerator.policy
        ids = {n for r in policy.intervals for n in (r.not_before, r.not_after) if n}
        self.spans = [enumerator.number(id_) for id_ in sorted(ids)]

    def cases(self, count: int) -> Iterator[tuple[Facts, OnTheLine, dict[str, Any]]]:
        """Yield children, what is on their line, and two sizes of gloves."""
        for _ in range(count):
            facts = self.facts()
            gloves = {
                who: self.random.choice(GLOVES) for who in ("operator", "assistant")
            }
            yield facts, self.line(facts), gloves

    def facts(self) -> Facts:
        """Return a child at an instant of the day the numbers are of, or soon after."""
        zone = self.random.choice(ZONES)
        at = datetime(2026, 3, 15, 12, tzinfo=UTC) + timedelta(
            minutes=self.random.randrange(60 * 24 * 300)
        )
        others = {key: self.random.choice(values) for key, values in FACTS.items()}
        facts = Facts(at=at, zone=zone, **others)
        return replace(facts, born=self.born(facts), gestation=self.gestation())

    def born(self, facts: Facts) -> tuple[datetime, datetime] | None:
        """Return a birth: unknown, to the minute or the day, often next to a limit."""
        how = self.random.randrange(8)
        if how == 0:
            return None
        limit = self.random.choice(self.ages)
        if how == 1:
            born = facts.at - timedelta(minutes=self.random.randrange(60 * 24 * 6000))
        else:
            born = self._before(facts, limit)
        if self.random.randrange(3) == 0:
            whole = Birth.on(born.astimezone(facts.zone).date(), facts.zone)
            if whole.latest <= facts.at:
                return (whole.earliest, whole.latest)
        return (born, born)

    def _before(self, facts: Facts, span: Any) -> datetime:
        """Return an instant that lies a span back, or a minute more or less."""
        hours = (
            span.months * HOURS_IN_A_MONTH + span.days * 24
            if isinstance(span, CalendarSpan)
            else span.seconds / 3600
        )
        near = facts.at - timedelta(hours=int(hours))
        near += facts.at - reached_at(near, span, facts.zone)
        return min(near + self.random.choice((-1, 0, 1)) * MINUTE, facts.at)

    def gestation(self) -> tuple[int, int] | None:
        """Return a gestation: unknown, in weeks, or to the day near a limit."""
        how = self.random.randrange(4)
        if how == 0:
            return None
        days = self.random.choice((*self.gestations, ORDINARY_GESTATION))
        if how == 1:
            week = days - days % 7
            return (week, week + 6)
        exact = days + self.random.choice((-1, 0, 1))
        return (exact, exact)

    def since(self, facts: Facts) -> datetime | None:
        """Return when something was last done: unknown, or near where a limit falls."""
        how = self.random.randrange(6)
        if how == 0:
            return None
        if how == 1:
            return facts.at - timedelta(minutes=self.random.randrange(60 * 24 * 20))
        return self._before(facts, self.random.choice(self.spans))

    def line(self, facts: Facts) -> OnTheLine:
        """Return what is on a line."""
        sets = tuple(
            Hung(self.random.choice((None, *SET_KINDS)), self.since(facts))
            for _ in range(self.random.randrange(3))
        )
        return OnTheLine(
            worn=self.random.choice((None, *DRESSINGS)),
            applied=self.since(facts),
            connectors=self.since(facts),
            needle=self.since(facts),
            inserted=self.since(facts),
            reviewed=self.since(facts),
            inspected=self.since(facts),
            sets=self.random.choice((None, sets, sets)),
        )


def case_with(facts: Facts, line: OnTheLine, gloves: dict[str, Any]) -> Case:
    """Return child, line and people as a case."""
    case = case_of(facts)
    sets = or_not_given(
        None
        if line.sets is None
        else tuple(
            InfusionSet(or_not_given(s.kind), or_not_given(s.changed))
            for s in line.sets
        )
    )
    people = People(
        *(Person(or_not_given(gloves[w])) for w in ("operator", "assistant"))
    )
    return replace(
        case,
        people=people,
        line=replace(
            case.line,
            dressing=replace(
                case.line.dressing,
                kind=or_not_given(line.worn),
                applied=or_not_given(line.applied),
            ),
            connectors_changed=or_not_given(line.connectors),
            needle_changed=or_not_given(line.needle),
            inserted=or_not_given(line.inserted),
            reviewed=or_not_given(line.reviewed),
            inspected=or_not_given(line.inspected),
            sets=sets,
        ),
    )


@pytest.mark.parametrize("share", range(SHARES))
@pytest.mark.parametrize("name", SHIPPED)
def test_two_engines_agree_on_every_task_and_supply(name: str, share: int) -> None:
    policy: Policy = load_policy(name)
    enumerator = LineEnumerator(policy, DAY)
    draw = Draw(enumerator, SEED + share)
    tasks: Counter[tuple[str, str]] = Counter()
    items: Counter[str] = Counter()
    plans = 0

    for facts, line, gloves in draw.cases(-(-CASES // len(SHIPPED) // SHARES)):
        case = case_with(facts, line, gloves)
        due = enumerator.due(facts, line)
        assert tasks_read(due_tasks(case, facts.at, policy)) == due, (facts, line)
        tasks.update((one.task, one.state) for one in due)
        plan = plan_change(case, facts.at, policy)
        if plan.verdict == "plan":
            assert plan.antiseptic
            assert plan.dressing
            plans += 1
            laid = enumerator.laid_out(
                facts, plan.antiseptic.agent, plan.dressing.kind, gloves
            )
            assert supplies_read(plan.supplies) == laid, (facts, gloves)
            items.update(list(laid))

    assert plans > 0
    assert {task for task, _ in tasks} == {rule.task for rule in policy.intervals}
    assert {"overdue", "due", "later", "too-early", "may-now"} <= {
        state for _, state in tasks
    }
    assert len(items) > LEAST_ITEMS


def test_a_task_or_a_supply_that_is_wrong_by_one_is_noticed() -> None:
    """The second evaluator reads a set without connectors, with more clean gloves."""
    policy = load_policy("quillmere")
    wrong = replace(
        policy,
        supplies=tuple(
            replace(rule, count="supply-gauze.count")
            if rule.id == "supply-clean-gloves"
            else rule
            for rule in policy.supplies
        ),
        intervals=tuple(r for r in policy.intervals if r.task != "connector"),
    )
    enumerator = LineEnumerator(wrong, DAY)
    draw = Draw(LineEnumerator(policy, DAY), SEED)
    late = laid = 0

    for facts, line, gloves in draw.cases(200):
        case = case_with(facts, line, gloves)
        found = tasks_read(due_tasks(case, facts.at, policy))
        late += found != enumerator.due(facts, line)
        plan = plan_change(case, facts.at, policy)
        if plan.antiseptic and plan.dressing:
            laid += supplies_read(plan.supplies) != enumerator.laid_out(
                facts, plan.antiseptic.agent, plan.dressing.kind, gloves
            )

    assert late
    assert laid
