"""The steps of a branch as screens, with the plan's part that stands at each.

Agent, swabs, seconds, area and dressing are carried once, as the plan has them; a step
names the part that is shown beside it, and types none of it again.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.check import walk
from lumenkeep.core.asepsis.state import is_bare
from lumenkeep.core.recovery.acts import (
    FACTS_READ,
    LAY_OUT,
    actor_of,
    drawing_of,
    halves,
    look_of,
    shown_at,
    timer_of,
)
from lumenkeep.ward.guide.bundle.fields import charted_at

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Step
    from lumenkeep.core.planning import Plan
    from lumenkeep.core.planning.plan import Technique
    from lumenkeep.core.recovery.chosen_branch import GuidedBranch
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.guide.bundle.fields import Field

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
    for part, kept in ((FACTS_READ, 0), (LAY_OUT, -1)):
        places = [place for place, one in enumerate(found) if one == part]
        for place in places:
            if place != places[kept]:
                found[place] = None
    return found


def opens_line(step: Step) -> bool:
    """Return whether the line is opened or used at a step."""
    return step.verb in OPENS_LINE


NO_WAY_BACK_FROM = ("scrub", "open-lumen", "cover-for-now", "pull")
"""The first of these is where a change of the facts comes too late."""


def steps_of(branch: Branch, entry: Mapping[str, Field]) -> list[dict[str, Any]]:
    """Return the steps of a branch as the bundle carries them.

    Parameters
    ----------
    entry
        Fields of the entry, by name.
    """
    after = walk(branch).states
    before = (branch.start, *after[:-1])
    shows = shown_once([shown_at(act.step) for act in branch.acts])
    asks_at = _last_to_ask_at(branch)
    acts = [_as_it_is_said(act, entry) for act in branch.acts]
    found = []
    for place, act in enumerate(acts):
        step = act.step
        now, then = before[place], after[place]
        found.append(
            {
                "id": step.id,
                "actor": actor_of(step),
                "verb": step.verb,
                "says": step.says,
                **halves(acts, place, now, then),
                "seconds": act.seconds or None,
                "timer": timer_of(step) if act.seconds else None,
                "look": look_of(step),
                "charted": charted_at(act, entry),
                "uses": {branch.items[spot]: count for spot, count in act.uses},
                "drawing": drawing_of(step),
                "because": step.because,
                "source": step.source,
                "bare": is_bare(now) or is_bare(then),
                "field_open": "open" in (now.field, then.field),
                "checks_facts": place == asks_at,
                "shows": shows[place],
                "opens_line": opens_line(step),
            }
        )
    return found


def _as_it_is_said(act: Act, entry: Mapping[str, Field]) -> Act:
    """Return a step with its first wording where there is no last time to go by."""
    first = act.step.says_first
    if first is None or any(one["previous"] for one in charted_at(act, entry)):
        return act
    return replace(act, step=replace(act.step, says=first))


def _last_to_ask_at(branch: Branch) -> int:
    """Return the place of the last step at which a new fact still changes the work."""
    scrub = [
        place
        for place, act in enumerate(branch.acts)
        if act.step.verb == "scrub" and "site" in act.step.objects
    ]
    other = [
        place
        for place, act in enumerate(branch.acts)
        if act.step.verb in NO_WAY_BACK_FROM
    ]
    first = (scrub or other or [1])[0]
    return max(first - 1, 0)
