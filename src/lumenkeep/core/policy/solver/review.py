"""Choose the fewest children by which a hospital can review a policy.

Every region of the policy, every side of every limit, and every rule that can decide
alone must be met by a child of the suite.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
STEPS = 200_000


def fewest_that_meet_all(meets: Mapping[K, frozenset[str]]) -> tuple[list[K], bool]:
    """Return the fewest candidates that together meet everything any of them meets.

    Parameters
    ----------
    meets
        What each candidate meets.

    Returns
    -------
    list
        The candidates chosen, in their given order.
    bool
        Whether it is proved that fewer cannot do.
    """
    wanted = frozenset().union(*meets.values()) if meets else frozenset()
    useful = _without_dominated(meets)
    greedy = _greedy(useful, wanted)
    search = _Search(useful, STEPS)
    best, proved = search.better_than(greedy, wanted)
    order = list(meets)
    return sorted(best, key=order.index), proved


def _without_dominated(meets: Mapping[K, frozenset[str]]) -> dict[K, frozenset[str]]:
    kept: dict[K, frozenset[str]] = {}
    for key, met in sorted(meets.items(), key=lambda item: -len(item[1])):
        if not any(met <= other for other in kept.values()):
            kept[key] = met
    return kept


def _greedy(meets: Mapping[K, frozenset[str]], wanted: frozenset[str]) -> list[K]:
    left, chosen = set(wanted), []
    while left:
        best = max(meets, key=lambda key: len(meets[key] & left))
        chosen.append(best)
        left -= meets[best]
    return chosen


class _Search(Generic[K]):
    """Branch and bound on the thing that fewest candidates meet."""

    def __init__(self, meets: Mapping[K, frozenset[str]], steps: int) -> None:
        self.meets = meets
        self.steps = steps
        self.by_thing: dict[str, list[K]] = {}
        for key, met in meets.items():
            for thing in met:
                self.by_thing.setdefault(thing, []).append(key)

    def better_than(
        self, known: Sequence[K], wanted: frozenset[str]
    ) -> tuple[list[K], bool]:
        """Return the best cover found, and whether the search was finished."""
        self.best = list(known)
        self._try([], wanted)
        return self.best, self.steps > 0

    def _at_least(self, left: Iterable[str]) -> int:
        """Return how many candidates are needed at least: one for each thing apart."""
        taken: set[K] = set()
        count = 0
        for thing in sorted(left, key=lambda t: (len(self.by_thing[t]), t)):
            keys = self.by_thing[thing]
            if taken.isdisjoint(keys):
                count += 1
                taken.update(keys)
        return count

    def _try(self, chosen: list[K], left: frozenset[str]) -> None:
        self.steps -= 1
        if not left:
            if len(chosen) < len(self.best):
                self.best = list(chosen)
            return
        if self.steps <= 0 or len(chosen) + self._at_least(left) >= len(self.best):
            return
        hardest = min(left, key=lambda t: (len(self.by_thing[t]), t))
        for key in sorted(
            self.by_thing[hardest], key=lambda k: -len(self.meets[k] & left)
        ):
            self._try([*chosen, key], left - self.meets[key])
