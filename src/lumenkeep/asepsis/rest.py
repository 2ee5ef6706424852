"""The steps that are still to come after a slip, and from where they keep the rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.asepsis.act import Act, any_row
from lumenkeep.asepsis.check import NOT_ASEPTIC, final_state, first_fault

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.asepsis.branch import Branch
    from lumenkeep.asepsis.state import State

Pieces = tuple[tuple[int, int], ...]
"""Items, by place, and how many."""


class Rest:
    """The steps that are still to come, and whether a state is one to go on from."""

    def __init__(self, branch: Branch, place: int) -> None:
        self.acts = branch.acts[place:]
        self.ends = branch.ends
        self.resets = branch.resets
        self.uses = _used_by(self.acts)
        self.needs = _ready_needed(self.acts, len(branch.items))

    def has_items(self, state: State) -> bool:
        """Return whether the room still holds what the steps to come use up."""
        return all(
            state.items[place].sealed + state.items[place].ready >= count
            for place, count in self.uses
        )

    def passes(self, state: State) -> bool:
        """Return whether the steps to come break no rule from here, to a good end."""
        if first_fault(state, self.acts) is not None:
            return False
        last = final_state(state, self.acts)
        if self.ends and not any_row(self.ends, last):
            return False
        return not (self.resets and last.site in NOT_ASEPTIC)

    def wanting(self, state: State) -> Pieces:
        """Return what must be opened on to the field for the steps to come."""
        return tuple(
            (place, count - state.items[place].ready)
            for place, count in self.needs
            if count > state.items[place].ready
        )


def _used_by(acts: Sequence[Act]) -> Pieces:
    counts: dict[int, int] = {}
    for act in acts:
        for place, count in act.uses:
            counts[place] = counts.get(place, 0) + count
    return tuple(counts.items())


def _ready_needed(acts: Sequence[Act], items: int) -> Pieces:
    """Return how many of each item must lie on the field before the acts begin."""
    level, lowest = [0] * items, [0] * items
    for act in acts:
        for place, count in act.uses:
            if act.from_field[place]:
                level[place] -= count
                lowest[place] = min(lowest[place], level[place])
        for place, count in act.opens:
            level[place] += count
    return tuple((p, -low) for p, low in enumerate(lowest) if low < 0)
