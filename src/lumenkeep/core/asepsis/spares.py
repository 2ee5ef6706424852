"""The smallest set of spares with which no single slip sends anybody out of the room.

For every slip at every step the fewest pieces wanted beyond the steps' own use are
searched, as if the room were full. Then each item is counted down, everything else in
plenty, to the fewest with which every slip still has a way back. No set can hold fewer
of any item; so where those counts do together, they are the one smallest set. Where
they do not, every set with a few pieces more is tried, fewest first.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.way_back import WaysBack

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside, Slip
    from lumenkeep.core.asepsis.state import Lot, State

Wants = dict[str, int]


@dataclass(frozen=True, slots=True)
class Want:
    """What one slip at one step wants beyond the steps' own use, and how often it is.

    ``often`` is the slip's assumed count in 1000 steps at which it can happen.
    """

    slip: str
    step: str
    wants: tuple[tuple[str, int], ...]
    often: int


@dataclass(frozen=True, slots=True)
class Further:
    """The next spares to lay out, and the share of slips that can then be mended.

    ``share`` is of the slips that spares can mend at all, weighted by how often they
    are assumed to happen; 1 is all of them.
    """

    items: tuple[tuple[str, int], ...]
    share: float


@dataclass(frozen=True, slots=True)
class Spares:
    """What to lay out beyond what the steps use.

    Attributes
    ----------
    items
        Item and count (pieces).
    wants
        What each slip at each step wants.
    order
        Which spares to lay out first, and what each buys.
    """

    items: tuple[tuple[str, int], ...]
    wants: tuple[Want, ...]
    order: tuple[Further, ...]


def spares_for(
    bedside: Bedside, branch: Branch, often: Mapping[str, int] | None = None
) -> Spares:
    """Return the smallest set of spares for one branch.

    Parameters
    ----------
    bedside
        Slips and moves.
    branch
        A branch that breaks no rule.
    often
        Count of each slip, by its id, in 1000 steps at which it can happen; each the
        same where None.
    """
    counts = often or {}
    ways_back = WaysBack(bedside, branch, {})
    found = [
        Want(
            slip.id, branch.acts[place].step.id, _sorted(wants), counts.get(slip.id, 1)
        )
        for place, slip, wants in _wants(ways_back)
    ]
    most: Wants = {}
    for want in found:
        for item, count in want.wants:
            most[item] = max(count, most.get(item, 0))
    slips = _Slips(ways_back)
    least = {item: slips.least_of(item, count) for item, count in most.items()}
    least = {item: count for item, count in least.items() if count}
    if not slips.all_mended(least):
        least = slips.between(least, slips.reduced(most, least))
    return Spares(
        items=_sorted(least),
        wants=tuple(found),
        order=tuple(_order(found, least)),
    )


class _Slips:
    """Every slip that can be mended at all, ready to be tried with another room.

    What each way back found so far wants is kept: a room that has as much needs no
    search.
    """

    def __init__(self, ways_back: WaysBack) -> None:
        self.ways_back = ways_back
        self.known: dict[tuple[int, State], list[Wants]] = {}
        for _, _, state, resumes in _stories(ways_back):
            path = ways_back.path(ways_back.with_plenty(state), resumes)
            if path is not None:
                wants = ways_back.beyond(path, state, resumes)
                self.known[resumes, state] = [wants]

    def least_of(self, item: str, most: int) -> int:
        """Return the fewest of an item that will do while everything else is plenty."""
        count = most
        while count and self._do_with(item, count - 1):
            count -= 1
        return count

    def _do_with(self, item: str, count: int) -> bool:
        spot = self.ways_back.branch.items.index(item)
        for (resumes, state), known in self.known.items():
            if any(wants.get(item, 0) <= count for wants in known):
                continue
            lots = list(self.ways_back.with_plenty(state).items)
            lot = state.items[spot]
            lots[spot] = lot._replace(sealed=lot.sealed + count)
            if not self._is_mended(state, resumes, tuple(lots)):
                return False
        return True

    def all_mended(self, spares: Mapping[str, int]) -> bool:
        """Return whether every slip has a way back with some spares in the room."""
        items = self.ways_back.branch.items
        more = [spares.get(item, 0) for item in items]
        for (resumes, state), known in self.known.items():
            if any(_has(spares, wants) for wants in known):
                continue
            lots = tuple(
                lot._replace(sealed=lot.sealed + count)
                for lot, count in zip(state.items, more, strict=True)
            )
            if not self._is_mended(state, resumes, lots):
                return False
        return True

    def _is_mended(self, state: State, resumes: int, lots: tuple[Lot, ...]) -> bool:
        path = self.ways_back.path(state._replace(items=lots), resumes)
        if path is None:
            return False
        wants = self.ways_back.beyond(path, state, resumes)
        self.known[resumes, state].append(wants)
        return True

    def between(self, least: Wants, enough: Wants) -> Wants:
        """Return the smallest set from ``least`` up to one that is enough."""
        gap = sum(enough.values()) - sum(least.values())
        for pieces in range(1, gap):
            for more in combinations_with_replacement(sorted(enough), pieces):
                tried = dict(least)
                for item in more:
                    tried[item] = tried.get(item, 0) + 1
                if self.all_mended(tried):
                    return tried
        return enough

    def reduced(self, most: Wants, least: Wants) -> Wants:
        """Return counts of which none can be lowered by one."""
        spares = dict(most)
        for item in sorted(most):
            while spares[item] > least.get(item, 0) and self.all_mended(
                {**spares, item: spares[item] - 1}
            ):
                spares[item] -= 1
        return {item: count for item, count in spares.items() if count}


def _sorted(wants: Wants) -> tuple[tuple[str, int], ...]:
    return tuple(sorted(wants.items()))


def _stories(ways_back: WaysBack) -> Iterator[tuple[int, Slip, State, int]]:
    """Yield each slip that may be mended: at a step that was finished, and at one not."""
    for place in range(len(ways_back.branch.acts)):
        for slip in ways_back.slips:
            happened = ways_back.happens(place, slip)
            if happened is None or not ways_back.may_mend(slip, happened[0]):
                continue
            state, resumes = happened
            yield place, slip, state, resumes
            if resumes > place and ways_back.may_be_unfinished(place):
                amid = ways_back.amid(place, slip)
                if ways_back.may_mend(slip, amid):
                    yield place, slip, amid, place


def _wants(ways_back: WaysBack) -> Iterator[tuple[int, Slip, Wants]]:
    for place, slip, state, resumes in _stories(ways_back):
        if ways_back.path(ways_back.with_plenty(state), resumes) is None:
            continue
        yield place, slip, ways_back.fewest(state, resumes)


def _order(found: Sequence[Want], limit: Wants) -> Iterator[Further]:
    """Yield the spares in the order in which they buy most, piece for piece.

    Never more than ``limit``: a slip that wants more for its cheapest way back has
    another way with those.
    """
    alike: dict[tuple[tuple[str, int], ...], int] = {}
    for want in found:
        kind = tuple((i, min(n, limit[i])) for i, n in want.wants if i in limit)
        alike[kind] = alike.get(kind, 0) + want.often
    total = sum(alike.values())
    left = [(dict(kind), often) for kind, often in alike.items()]
    laid: Wants = {}
    while left and total:
        before = len(left)
        left = [(wants, often) for wants, often in left if not _has(laid, wants)]
        if laid or len(left) < before:
            share = 1 - sum(often for _, often in left) / total
            yield Further(_sorted(laid), share)
        if left:
            laid = max(
                (_with(laid, wants) for wants, _ in left),
                key=lambda more: _gain(more, laid, left),
            )


def _has(laid: Mapping[str, int], wants: Wants) -> bool:
    return all(laid.get(item, 0) >= count for item, count in wants.items())


def _with(laid: Wants, wants: Wants) -> Wants:
    return {
        item: max(laid.get(item, 0), wants.get(item, 0)) for item in {*laid, *wants}
    }


def _gain(more: Wants, laid: Wants, left: Sequence[tuple[Wants, int]]) -> float:
    pieces = sum(more.values()) - sum(laid.values())
    return sum(often for wants, often in left if _has(more, wants)) / pieces
