"""The steps of a branch as screens: both halves, clock, look, fields, supplies."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.check import walk
from lumenkeep.core.asepsis.state import is_bare
from lumenkeep.core.recovery.halves import actor_of, halves
from lumenkeep.core.recovery.looks import drawing_of, look_of, timer_of
from lumenkeep.core.recovery.shown import shown_at
from lumenkeep.ward.guide.bundle.fields import charted_at
from lumenkeep.ward.guide.bundle.plan import opens_line, shown_once

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.ward.guide.bundle.fields import Field

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
