"""Decide one dressing change for one child at one instant.

The policy's answer for the child's cell comes first; the figures, instants and glove
sizes of this child and these people are then filled in.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.planning.changes import changes_later
from lumenkeep.planning.choose import excluded
from lumenkeep.planning.dressing import new_dressing
from lumenkeep.planning.layout import layout
from lumenkeep.planning.plan import Plan
from lumenkeep.planning.prepared import prepare
from lumenkeep.planning.questions import questions
from lumenkeep.planning.skeleton import skeleton
from lumenkeep.policy import Policy, Situation, narrowed

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.model import Case


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
    prepared = prepare(policy.on(at.astimezone(case.zone).date()))
    situation = narrowed(Situation(case, at), prepared.book)
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
        questions=questions(bones.blocking, bones.others, situation),
        changes_later=changes_later(prepared, situation, bones),
        supplies=laid_out.supplies,
        staff=bones.staff,
        masks_within_m=bones.masks_within_m,
        roles=laid_out.roles,
        cautions=bones.cautions,
        looks=bones.looks,
        disagreements=bones.disagreements,
        chart=bones.chart,
        call=bones.call,
        stop_because=bones.stop_because,
        referred_by=tuple(r.rule.id for r in bones.verdict.referring),
        fired=bones.fired,
        undecided=bones.undecided,
        policy_set=policy.id,
        policy_title=policy.title,
        policy_version=policy.version,
    )
