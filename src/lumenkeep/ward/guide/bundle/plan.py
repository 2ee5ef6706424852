"""The plan's part of a guide, and which of it stands at which step.

Agent, swabs, seconds, area and dressing are carried once, as the plan has them; a step
names the part that is shown beside it, and types none of it again.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from lumenkeep.core.recovery.shown import FACTS, LAY_OUT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.asepsis.procedure import Step
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.planning.plan import Technique
    from lumenkeep.core.recovery.chosen_branch import GuidedBranch
    from lumenkeep.ward.chart.line_at_hand import LineAtHand

FILM = "transparent"
FILM_LABEL = "Clear film"
ASSUMED = {
    "soil": "Whether the site is soiled was not said: the steps wash it.",
    "securement": "Whether the securement is changed was not said: the steps change it.",
    "findings": "How the dressing failed was not said: it counts as open or wet.",
    "technique": "The technique was not said: masks, field and sterile gloves.",
    "site": "The insertion site is not charted: the steps are those of the groin.",
    "unit": "The kind of unit is not charted: the steps are those of a newborn.",
    "lumens": "How many lumens the line has was not said: the steps are those of five.",
}
"""What is said where the safe side was taken for want of an answer."""
NOT_TOLD = ("because", "rules")
"""Parts of a technique that are reasons, and stand on the plan's own page."""
OPENS_LINE = ("open-lumen", "needle-in", "flush")
"""Verbs of the steps at which the line is opened or used."""


def plan_part(
    plan: Plan, found: LineAtHand, chosen: GuidedBranch, why_href: str
) -> dict[str, Any]:
    """Return the plan as the bundle carries it."""
    minds = [remark.text for remark in plan.cautions]
    cautions = [ASSUMED.get(fact, "") for fact, _ in chosen.assumed] + minds
    way = plan.antiseptic if chosen.scrubs else None
    return {
        "sentence": plan.sentence,
        "antiseptic": plan.antiseptic.label if plan.antiseptic else None,
        "dressing": plan.dressing.label if plan.dressing else None,
        "skin": {**skin_part(way), "cautions": minds} if way else None,
        "put_on": put_on(plan, chosen) if chosen.scrubs else None,
        "cautions": [text for text in cautions if text],
        "looks": [remark.text for remark in plan.looks],
        "policy": {
            "set": found.policy.id,
            "version": found.policy.version,
            "digest": found.policy.digest,
        },
        "why_href": why_href,
    }


def skin_part(way: Technique) -> dict[str, Any]:
    """Return how the antiseptic is used: swabs, seconds, area (mm), in plain values."""
    said = {key: one for key, one in asdict(way).items() if key not in NOT_TOLD}
    return {**said, "area_mm": list(way.area_mm)}


def put_on(plan: Plan, chosen: GuidedBranch) -> dict[str, Any]:
    """Return the dressing that the steps put on, as it is charted and called.

    A procedure that does not follow the plan's dressing ends with a clear film.
    """
    if "dressing" in chosen.branch.setting.facts and plan.dressing is not None:
        new = plan.dressing
        return {"kind": new.kind, "label": new.label, "stays_words": new.stays_words}
    return {"kind": FILM, "label": FILM_LABEL, "stays_words": ""}


def chosen_part(plan: Plan, chosen: GuidedBranch) -> dict[str, str]:
    """Return agent and dressing as they are charted."""
    agent = plan.antiseptic.agent if plan.antiseptic else ""
    return {"agent": agent, "dressing": put_on(plan, chosen)["kind"]}


def shown_once(shown: Sequence[str | None]) -> list[str | None]:
    """Return the parts at the steps of a procedure: the facts first, the list last.

    Where things are laid out twice, all of them are counted the second time.
    """
    found = list(shown)
    for part, kept in ((FACTS, 0), (LAY_OUT, -1)):
        places = [place for place, one in enumerate(found) if one == part]
        for place in places:
            if place != places[kept]:
                found[place] = None
    return found


def opens_line(step: Step) -> bool:
    """Return whether the line is opened or used at a step."""
    return step.verb in OPENS_LINE
