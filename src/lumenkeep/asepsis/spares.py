"""The smallest set of spares with which no single slip sends anybody out of the room.

For every slip at every step the fewest pieces wanted beyond the steps' own use are
searched, as if the room were full. What all of them want at most, item by item, is laid
out. It is the smallest such set where each piece of it is needed: a second search, with
everything else in plenty, shows that one piece fewer leaves some slip without a way
back.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.asepsis.way_back import Recovery

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lumenkeep.asepsis.branch import Branch
    from lumenkeep.asepsis.procedure import Bedside, Slip
    from lumenkeep.asepsis.state import State

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
    is_smallest
        Whether each piece is shown to be needed.
    wants
        What each slip at each step wants.
    order
        Which spares to lay out first, and what each buys.
    """

    items: tuple[tuple[str, int], ...]
    is_smallest: bool
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
    recovery = Recovery(bedside, branch, {})
    found = [
        Want(
            slip.id, branch.acts[place].step.id, _sorted(wants), counts.get(slip.id, 1)
        )
        for place, slip, wants in _wants(recovery)
    ]
    most: Wants = {}
    for want in found:
        for item, count in want.wants:
            most[item] = max(count, most.get(item, 0))
    return Spares(
        items=_sorted(most),
        is_smallest=all(
            _is_needed(recovery, item, count) for item, count in most.items()
        ),
        wants=tuple(found),
        order=tuple(_order(found)),
    )


def _sorted(wants: Wants) -> tuple[tuple[str, int], ...]:
    return tuple(sorted(wants.items()))


def _wants(recovery: Recovery) -> Iterator[tuple[int, Slip, Wants]]:
    for place in range(len(recovery.branch.acts)):
        for slip in recovery.slips:
            happened = recovery.happens(place, slip)
            if happened is None or slip.ending != "way-back":
                continue
            state, resumes = happened
            if recovery.path(recovery.with_plenty(state), resumes) is None:
                continue
            yield place, slip, recovery.fewest(state, resumes)


def _is_needed(recovery: Recovery, item: str, count: int) -> bool:
    """Return whether some slip has no way back with one piece of an item fewer."""
    spot = recovery.branch.items.index(item)
    short: set[tuple[int, State]] = set()
    for place in range(len(recovery.branch.acts)):
        for slip in recovery.slips:
            happened = recovery.happens(place, slip)
            if happened is None or slip.ending != "way-back":
                continue
            state, resumes = happened
            full = recovery.with_plenty(state)
            if recovery.path(full, resumes) is None:
                continue
            lots = list(full.items)
            lots[spot] = state.items[spot]._replace(
                sealed=state.items[spot].sealed + count - 1
            )
            short.add((resumes, full._replace(items=tuple(lots))))
    return any(recovery.path(state, resumes) is None for resumes, state in short)


def _order(found: Sequence[Want]) -> Iterator[Further]:
    """Yield the spares in the order in which they buy most, piece for piece."""
    total = sum(want.often for want in found)
    laid: Wants = {}
    left = list(found)
    while left and total:
        mended = [w for w in left if _covers(laid, w)]
        left = [w for w in left if not _covers(laid, w)]
        if laid or mended:
            share = 1 - sum(w.often for w in left) / total
            yield Further(_sorted(laid), share)
        if left:
            laid = max(
                (_with(laid, w) for w in left), key=lambda t: _gain(t, laid, left)
            )


def _covers(laid: Mapping[str, int], want: Want) -> bool:
    return all(laid.get(item, 0) >= count for item, count in want.wants)


def _with(laid: Wants, want: Want) -> Wants:
    wants = dict(want.wants)
    return {
        item: max(laid.get(item, 0), wants.get(item, 0)) for item in {*laid, *wants}
    }


def _gain(more: Wants, laid: Wants, left: Sequence[Want]) -> float:
    pieces = sum(more.values()) - sum(laid.values())
    return sum(w.often for w in left if _covers(more, w)) / pieces
