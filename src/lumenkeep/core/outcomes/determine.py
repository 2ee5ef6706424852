"""Work through all blood of one child and say what each specimen amounts to.

Nothing is guessed. Where the chart leaves a fact out, or the year's data a point open,
the timeline is worked for every answer; where all agree the answer stands, else it
cannot be said and the facts that would decide are named. The answer is a proposal: a
person confirms it, overrides it with a reason, or leaves it open.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.agree import agreed
from lumenkeep.core.outcomes.runs import runs_of

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.derivation import Event
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.core.outcomes.timeline import Timeline


def determine(timeline: Timeline, protocol: Protocol) -> tuple[Event, ...]:
    """Return what all blood specimens that grew something amount to.

    Parameters
    ----------
    timeline
        One child.
    protocol
        The year whose rules apply.

    Returns
    -------
    tuple of Event
        In order of collection; an event is followed by what joined it later.
    """
    return tuple(
        event for runs in runs_of(timeline, protocol) for event in agreed(runs)
    )
