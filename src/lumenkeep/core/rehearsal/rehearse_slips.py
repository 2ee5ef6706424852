"""Rehearse what follows a slip: every slip at every step of every branch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.branch import Branch
from lumenkeep.core.asepsis.way_back import WaysBack

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lumenkeep.core.asepsis.way import WayBack
    from lumenkeep.core.rehearsal.stage import Stage


@dataclass(frozen=True, slots=True)
class WayFault:
    """A slip at a step after which nobody could go on as told, and why."""

    step: str
    slip: str
    says: str


@dataclass(frozen=True, slots=True)
class WaysRehearsed:
    """What follows the slips of one branch.

    Attributes
    ----------
    endings
        How often (count) each ending was found: "way-back", "stop", "leave".
    faults
        Ways back that break a rule or leave out what the slip asks for, and stops that
        leave a child unsafe or have no reason; none, if right. A slip at a step that
        was not finished counts too.
    """

    branch: Branch
    endings: tuple[tuple[str, int], ...]
    faults: tuple[WayFault, ...]


def rehearse_ways(branches: Iterable[Branch], stage: Stage) -> Iterator[WaysRehearsed]:
    """Yield what follows the slips of each branch, with what the set lays in the room.

    Parameters
    ----------
    branches
        Branches that break no rule.
    stage
        The set, its procedures and the day.
    """
    for branch in branches:
        ways_back = WaysBack(stage.bedside, branch)
        endings = {"way-back": 0, "stop": 0, "leave": 0}
        faults: list[WayFault] = []
        for found in ways_back.table():
            endings[found.ending] += 1
            for one in _all_of(ways_back, found):
                faults += _faults(ways_back, one)
        yield WaysRehearsed(branch, tuple(endings.items()), tuple(faults))


def _all_of(ways_back: WaysBack, found: WayBack) -> Iterator[WayBack]:
    """Yield what follows a slip at a step that was finished, and at one that was not."""
    yield found
    amid = ways_back.unfinished(found)
    if amid is not None:
        yield amid


def _faults(ways_back: WaysBack, found: WayBack) -> Iterator[WayFault]:
    for says in _wrong(ways_back, found):
        yield WayFault(found.step, found.slip.id, says)


def _wrong(ways_back: WaysBack, found: WayBack) -> Iterator[str]:
    if found.ending == "way-back":
        for broken in ways_back.breaks(found):
            yield f"The way back breaks {broken.rule} at {broken.step}: {broken.says}"
        if ways_back.owed(found):
            yield f"The way back leaves out what the slip asks for: {found.slip.redo}"
        return
    for says in ways_back.unsafe(found):
        yield f"The child is left unsafe: {says}"
    if not ways_back.is_explained(found):
        yield f"It has no way back, and nothing says why: {found.because}"
