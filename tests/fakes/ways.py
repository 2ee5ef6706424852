"""Ways back that are there at once, for tests that are about something else."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from lumenkeep.core.recovery.ways_of_branch import BranchKey
from lumenkeep.ward.guide.records import WaysSoFar

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy


def no_slips() -> dict[str, Any]:
    """Return what there is when nothing can slip."""
    return {
        "spares": {"mask": 1},
        "slips": {},
        "ways": {},
        "ways_in_ways": {},
        "stop": {"acts": []},
        "acts": {},
    }


@dataclass
class NoSlips:
    """Plays the port of ways back."""

    progress: float = 1.0
    failed: str = ""
    asked: list[BranchKey] = field(default_factory=list)

    def of(self, set_name: str, policy: Policy, question: BranchKey) -> WaysSoFar:
        self.asked.append(question)
        done = no_slips() if self.progress == 1 and not self.failed else None
        return WaysSoFar(self.progress, done, self.failed)
