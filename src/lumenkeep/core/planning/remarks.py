"""Cautions, things to look at, and the points on which published guidance disagrees.

One that an unknown fact leaves open is shown as well, and says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.planning.plan import Dispute, Remark
from lumenkeep.core.policy.vocabulary import FACTS, PLANNED_FACTS

if TYPE_CHECKING:
    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import LiveRule, Rule, Situation

SHOWN_UNDECIDED = " (shown because what would settle it is not known)"


def notes(prepared: Prepared, situation: Situation, kind: str) -> tuple[Remark, ...]:
    """Return the policy's notes of one kind ("caution" or "look") for this child."""
    found = []
    for live, remark in zip(prepared.book.notes, prepared.remarks, strict=True):
        if live.rule.kind != kind:
            continue
        truth = live.when.truth(situation)
        if truth is True:
            found.append(remark)
        elif truth is None and _open_beyond_plan(live, situation):
            text = remark.text + SHOWN_UNDECIDED
            found.append(Remark(text, remark.rule, remark.source))
    return tuple(found)


def strangers(situation: Situation) -> tuple[Remark, ...]:
    """Return a caution for each sensitivity that no rule knows."""
    allowed = FACTS["sensitivities"].allowed or {}
    strange = sorted(set(situation.sensitivities or ()) - set(allowed))
    return tuple(
        Remark(
            f"The policy has no rule for the sensitivity '{word}': "
            "check every product by hand.",
            "",
            "",
        )
        for word in strange
    )


def disputes(prepared: Prepared, situation: Situation) -> tuple[Dispute, ...]:
    """Return the disagreements that this child and this plan fall into.

    With no agent chosen, those about the choice that one of the set's agents would
    fall into are shown: they are what the person called will weigh.
    """
    found = []
    for live, dispute in zip(
        prepared.book.disagreements, prepared.disputes, strict=True
    ):
        truth = live.when.truth(situation)
        if (
            truth is True
            or (truth is None and _open_beyond_plan(live, situation))
            or (
                (
                    truth is None
                    and situation.agent is None
                    and "antiseptic" in dispute.about
                )
                and _holds_for_some_agent(prepared, live, situation)
            )
        ):
            found.append(dispute)
    return tuple(found)


def _holds_for_some_agent(
    prepared: Prepared, live: LiveRule[Rule], situation: Situation
) -> bool:
    """Return whether a point would be in dispute with one of the set's antiseptics."""
    held = False
    for agent in prepared.book.policy.antiseptics:
        situation.agent = agent
        held = held or live.when.truth(situation) is True
    situation.agent = None
    return held


def _open_beyond_plan(live: LiveRule[Rule], situation: Situation) -> bool:
    """Return whether the case, and not only the plan's own choices, is unknown."""
    return any(c.fact not in PLANNED_FACTS for c in live.when.undecided(situation))
