"""From which step on everything is again as the steps expect after a way back.

A way back may end with the assistant's gloves off, or the line taped and not held. All
rules hold, but until the steps have caught up another slip finds another room, and the
ways back of the undisturbed procedure are not to be used.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.effects import applied

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.state import State
    from lumenkeep.core.asepsis.way import WayBack
    from lumenkeep.core.asepsis.way_back import Recovery


def steady_place(recovery: Recovery, way: WayBack) -> int | None:
    """Return the place of the step from which on all is as expected; None for never."""
    acts = recovery.branch.acts
    state: State = way.ends
    for place in range(way.resumes, len(acts)):
        if state[:-1] == recovery.states[place][:-1]:
            return place
        state = applied(state, acts[place])
    return None


def steady_step(recovery: Recovery, way: WayBack) -> str | None:
    """Return the id of the step from which on all is as expected; None for never."""
    place = steady_place(recovery, way)
    return None if place is None else recovery.branch.acts[place].step.id
