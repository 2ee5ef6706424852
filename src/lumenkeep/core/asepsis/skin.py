"""A lower bound of the seconds a site still lies bare, from what is on it alone.

Hands, gloves, field and items are left out of account, so that no way back can be
quicker. The search for one is guided by it.
"""

from __future__ import annotations

import heapq
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.effects import applied
from lumenkeep.core.asepsis.state import BARE, Skin, State, skin_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.facts import Facts
    from lumenkeep.core.asepsis.rest import Rest

Bounds = dict[Skin, tuple[int, int]]
"""Bare seconds (s) and acts (count) still to come, at least, from each skin."""


def _with(state: State, skin: Skin) -> State:
    site, soil, residue, edges, blood = skin
    return state._replace(
        site=site, soil=soil, residue=residue, edges=edges, blood=blood
    )


class SkinBound:
    """The seconds of bare skin still to come, for the rests of one branch.

    Parameters
    ----------
    ideal
        State at each place of the branch when nothing went wrong.
    rests
        Steps to come, at each place.
    facts
        Where what acts do is worked out.
    """

    def __init__(
        self, ideal: Sequence[State], rests: Sequence[Rest], facts: Facts
    ) -> None:
        self.ideal = ideal
        self.rests = rests
        self.facts = facts
        self._good: dict[tuple[int, Skin], bool] = {}
        self._next: dict[tuple[Skin, int], Skin] = {}

    def is_good(self, place: int, skin: Skin) -> bool:
        """Return whether the rest passes with this skin, all else as it should be."""
        key = (place, skin)
        if key not in self._good:
            facts = self.facts.id_of(_with(self.ideal[place], skin))
            self._good[key] = self.rests[place].keeps_rules(facts)
        return self._good[key]

    def _after(self, skin: Skin, number: int, act: Act) -> Skin:
        key = (skin, number)
        if key not in self._next:
            bare = _with(self.ideal[0], skin)._replace(operator_gloves="sterile")
            self._next[key] = skin_of(applied(bare, act))
        return self._next[key]

    def from_here(
        self, start: Skin, place: int, acts: Sequence[tuple[int, Act]]
    ) -> Bounds:
        """Return what is still to come at least from each skin that can be reached.

        The seconds (s) and the acts (count) are each the least of any way, not both of
        one way.
        """
        came: dict[Skin, list[tuple[Skin, int]]] = {start: []}
        waiting = [start]
        while waiting:
            skin = waiting.pop()
            for number, act in acts:
                after = self._after(skin, number, act)
                if after == skin:
                    continue
                if after not in came:
                    came[after] = []
                    waiting.append(after)
                came[after].append((skin, act.seconds if skin[0] in BARE else 0))
        goals = [skin for skin in came if self.is_good(place, skin)]
        seconds = _backwards(came, goals)
        ones = {skin: [(b, 1) for b, _ in before] for skin, before in came.items()}
        acts_to_come = _backwards(ones, goals)
        return {skin: (seconds[skin], acts_to_come[skin]) for skin in seconds}


def _backwards(
    came: dict[Skin, list[tuple[Skin, int]]], goals: list[Skin]
) -> dict[Skin, int]:
    least: dict[Skin, int] = {}
    queue = [(0, skin) for skin in goals]
    while queue:
        seconds, skin = heapq.heappop(queue)
        if skin in least:
            continue
        least[skin] = seconds
        for before, more in came[skin]:
            if before not in least:
                heapq.heappush(queue, (seconds + more, before))
    return least
