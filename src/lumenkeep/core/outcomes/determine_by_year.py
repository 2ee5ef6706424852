"""Propose what the blood specimens of one child amount to, by the year it names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.derivation import Event
from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.protocol import Protocol
from lumenkeep.core.outcomes.protocol_year import protocol_year

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.timeline import Timeline


@dataclass(frozen=True, slots=True)
class Proposal:
    """The events proposed, and the protocol year they were worked out by."""

    events: tuple[Event, ...]
    protocol: Protocol


def propose_determination(timeline: Timeline) -> Proposal:
    """Return the events of a timeline; a person confirms or overrides them.

    Raises
    ------
    InputError
        The timeline names a protocol year that is not shipped.
    """
    protocol = protocol_year(timeline.protocol)
    return Proposal(determine(timeline, protocol), protocol)
