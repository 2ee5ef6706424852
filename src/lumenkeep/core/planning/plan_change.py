"""Decide one dressing change for one child at one instant.

The policy's answer for the child's cell comes first; the figures, instants and glove
sizes of this child and these people are then filled in.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import Unknown
from lumenkeep.core.planning.changes import changes_later
from lumenkeep.core.planning.choose import excluded
from lumenkeep.core.planning.decision import Decision, decision
from lumenkeep.core.planning.dressing import new_dressing
from lumenkeep.core.planning.layout import layout
from lumenkeep.core.planning.plan import Plan
from lumenkeep.core.planning.prepared import Prepared, prepare
from lumenkeep.core.planning.questions import ask_to_weigh, questions
from lumenkeep.core.planning.skeleton import Skeleton, skeleton
from lumenkeep.core.policy import (
    Policy,
    Situation,
    narrowed,
    weighed_anew,
    weighing_rule,
)

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.core.model import Case
    from lumenkeep.core.planning.plan import ChartItem, Question


def plan_change(case: Case, at: datetime, policy: Policy) -> Plan:
    """Return the change plan for one case at one instant.

    Parameters
    ----------
    case
        Child, line and people; anything may be unknown.
    at
        Instant the plan is for (UTC).
    policy
        The set in force.

    Returns
    -------
    Plan
        Verdict ``plan`` only where no completion of the unknown facts would bar
        the antiseptic named.

    Raises
    ------
    NoRuleError
        A number of the policy is not yet in force on that day.
    RuleConflictError
        Two intervals of equal priority both apply.
    """
    prepared, situation = _asked(case, at, policy)
    bones = skeleton(prepared, situation)
    judged = bones.judged
    laid_out = layout(prepared, situation, bones)
    return Plan(
        at=at,
        verdict=bones.verdict.word,
        sentence=bones.sentence,
        antiseptic=bones.way if bones.verdict.word == "plan" else None,
        until_known=bones.verdict.until_known,
        dressing=new_dressing(bones.cover, situation) if bones.cover else None,
        excluded=excluded(prepared, judged, policy.antiseptics, situation),
        not_for_this_child=excluded(
            prepared, judged, prepared.other_products, situation
        ),
        questions=(
            *questions(bones.blocking, bones.others, situation),
            *_weigh_again(prepared, situation, bones),
        ),
        changes_later=changes_later(prepared, situation, bones),
        supplies=laid_out.supplies,
        staff=bones.staff,
        masks_within_m=bones.masks_within_m,
        roles=laid_out.roles,
        cautions=bones.cautions,
        looks=bones.looks,
        disagreements=bones.disagreements,
        chart=bones.chart if bones.verdict.word != "stop" else (),
        call=bones.call,
        stop_because=bones.stop_because,
        referred_by=tuple(r.rule.id for r in bones.verdict.referring),
        fired=bones.fired,
        undecided=bones.undecided,
        policy_set=policy.id,
        policy_title=policy.title,
        policy_version=policy.version,
    )


def to_chart(case: Case, at: datetime, policy: Policy) -> tuple[ChartItem, ...]:
    """Return what is charted of a change that was made, whatever the plan says of it.

    A plan that stops lists nothing to chart, for nothing is to be done. What was done
    all the same is charted like any other change.

    Raises
    ------
    NoRuleError, RuleConflictError
        As for `plan_change`.
    """
    return skeleton(*_asked(case, at, policy)).chart


def barred_now(case: Case, at: datetime, policy: Policy) -> frozenset[str]:
    """Return whatever is surely barred for this child, planned by the set or not.

    A plan names what the set would choose from. What was really used may be anything:
    a disc is barred by the same rule as a pad, and an agent that the set never plans,
    and has no rule for, by what it contains and the child does not tolerate.

    Raises
    ------
    NoRuleError, RuleConflictError
        As for `plan_change`.
    """
    prepared, situation = _asked(case, at, policy)
    judged = skeleton(prepared, situation).judged
    found = excluded(prepared, judged, tuple(prepared.barred_by), situation)
    known = case.child.sensitivities
    badly = frozenset() if isinstance(known, Unknown) else known
    not_borne = {
        agent_id
        for agent_id, agent in policy.agents.items()
        if not badly.isdisjoint(agent.contains)
    }
    return frozenset(not_borne | {one.item for one in found})


def decide_change(case: Case, at: datetime, policy: Policy) -> Decision:
    """Return only what is decided; nothing is said of it and nothing kept.

    For those who ask about very many children, each of another cell.

    Raises
    ------
    NoRuleError, RuleConflictError
        As for `plan_change`.
    """
    return decision(*_asked(case, at, policy))


def _weigh_again(
    prepared: Prepared, situation: Situation, bones: Skeleton
) -> tuple[Question, ...]:
    """Return the question for a new weighing, where the plan hangs on an old one."""
    again = weighed_anew(situation, prepared.book)
    if again is None or skeleton(prepared, again).answer() == bones.answer():
        return ()
    rule = weighing_rule(situation, prepared.book)
    return (ask_to_weigh(again, rule),) if rule else ()


def _asked(case: Case, at: datetime, policy: Policy) -> tuple[Prepared, Situation]:
    prepared = prepare(policy.on(at.astimezone(case.zone).date()))
    return prepared, narrowed(Situation(case, at), prepared.book)
