"""Whoever follows the decision chart's arrows ends where the planner ends.

The children are those that the solver picks on both sides of every limit.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import Situation, load_policy, narrowed, shipped_sets
from lumenkeep.core.policy.solver import boundary_cases
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.text.policy.decision_chart import (
    ANSWER,
    STOP,
    DecisionChart,
    answers_reached,
    decision_chart,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy, Truth

DAY = date(2026, 11, 25)


def truths(policy: Policy, case: Case, at: datetime) -> Callable[[str], Truth]:
    """What each rule says of a child, by the rule's id."""
    book = policy.on(at.date())
    situation = narrowed(Situation(case, at), book)
    return {
        live.rule.id: live.when.truth(situation)
        for live in (*book.exclusions, *book.referrals)
    }.__getitem__


def landed(chart: DecisionChart, holds: Callable[[str], Truth]) -> tuple[str, str]:
    """Verdict and antiseptic at which the arrows end."""
    ends = {
        (node.kind, node.item) if node.kind == ANSWER else (STOP, "")
        for node in answers_reached(chart, holds, "start")
    }
    if len(ends) > 1:
        return "ask", ""
    kind, item = ends.pop()
    return ("plan", item) if kind == ANSWER else ("stop", "")


def covered(chart: DecisionChart, holds: Callable[[str], Truth]) -> str:
    """Dressing at which the arrows end when what is not known counts as so."""
    looks = {rule for node in chart.nodes for rule in node.looks}

    def safe_side(rule: str) -> Truth:
        truth = holds(rule)
        return truth if truth is not None or rule in looks else True

    (end,) = answers_reached(chart, safe_side, "cover")
    return end.item


@pytest.mark.parametrize("name", shipped_sets())
def test_the_arrows_end_where_the_planner_ends(name: str) -> None:
    policy = load_policy(name)
    chart = decision_chart(policy.on(DAY))
    count = 0
    for one in boundary_cases(policy, DAY):
        at = datetime.fromisoformat(one.shown.at).astimezone(UTC)
        case = case_from_mapping(one.shown.case, "a case")
        plan, holds = plan_change(case, at, policy), truths(policy, case, at)
        agent = plan.antiseptic.agent if plan.antiseptic else ""

        assert landed(chart, holds) == (plan.verdict, agent), one.shown

        if plan.verdict == "plan":
            kind = plan.dressing.kind if plan.dressing else ""
            assert covered(chart, holds) == kind, one.shown
        count += 1
    assert count > 100


def test_an_arrow_turned_the_wrong_way_is_found() -> None:
    policy = load_policy("quillmere")
    chart = decision_chart(policy.on(DAY))
    turned = DecisionChart(
        chart.title,
        chart.nodes,
        tuple(
            type(way)(way.start, way.end, None if way.so is None else not way.so)
            for way in chart.ways
        ),
    )
    one = next(boundary_cases(policy, DAY))
    at = datetime.fromisoformat(one.shown.at).astimezone(UTC)
    case = case_from_mapping(one.shown.case, "a case")

    assert landed(chart, truths(policy, case, at)) != landed(
        turned, truths(policy, case, at)
    )
