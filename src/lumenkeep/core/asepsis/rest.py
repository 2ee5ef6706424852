"""The steps that are still to come after a slip, and from where they keep the rules."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.core.asepsis.act import Act, any_row
from lumenkeep.core.asepsis.check import NOT_ASEPTIC
from lumenkeep.core.asepsis.facts import FORBIDDEN
from lumenkeep.core.asepsis.stock import count_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.facts import Facts
    from lumenkeep.core.asepsis.state import State
    from lumenkeep.core.asepsis.stock import Left, Pieces, Stocks


class Wanting(NamedTuple):
    """What must be opened on to the field for the rest, and their count.

    ``enough`` is whether all that the rest uses up is still there, sealed or not.
    """

    pieces: Pieces
    total: int
    enough: bool


class WalkedBranch:
    """A branch walked from any of its steps, with every result kept.

    Parameters
    ----------
    branch
        Steps in order.
    facts
        Where what the steps do is worked out.
    """

    def __init__(self, branch: Branch, facts: Facts) -> None:
        self.branch = branch
        self.facts = facts
        self._numbers = [facts.number_of(act) for act in branch.acts]
        self._ends: dict[tuple[int, int], tuple[int, ...] | None] = {}
        self._needs: dict[tuple[int, tuple[int, ...]], _Needs | None] = {}

    def losses(self, place: int, facts: int) -> tuple[int, ...] | None:
        """Return the steps, by place, at which what lies on the field is lost.

        None where the steps from ``place`` break a rule, or end where nobody may.
        """
        key = (place, facts)
        if key not in self._ends:
            self._ends[key] = self._walked(place, facts)
        return self._ends[key]

    def _walked(self, place: int, facts: int) -> tuple[int, ...] | None:
        if place == len(self._numbers):
            return () if self._may_end(self.facts.states[facts]) else None
        number = self._numbers[place]
        after = self.facts.after(number, facts)
        if after == FORBIDDEN:
            return None
        later = self.losses(place + 1, after)
        if later is None or not self.facts.loses_field(number, facts):
            return later
        return (place, *later)

    def _may_end(self, last: State) -> bool:
        if last.owes or any(e.is_unsafe(last) for e in self.branch.maker.endings):
            return False
        if self.branch.ends and not any_row(self.branch.ends, last):
            return False
        return not (self.branch.resets and last.site in NOT_ASEPTIC)

    def has_items(self, place: int, losses: tuple[int, ...], left: Left) -> bool:
        """Return whether no step finds an item lacking; none is opened but by steps."""
        key = (place, losses)
        if key not in self._needs:
            self._needs[key] = self._needed(place, losses)
        needs = self._needs[key]
        return (
            needs is not None
            and all(left.sealed[item] >= count for item, count in needs.sealed)
            and all(left.ready[item] >= count for item, count in needs.ready)
        )

    def _needed(self, place: int, losses: tuple[int, ...]) -> _Needs | None:
        sealed: dict[int, int] = {}
        ready: dict[int, int] = {}
        level: dict[int, int] = {}
        lost = False
        for spot in range(place, len(self.branch.acts)):
            act = self.branch.acts[spot]
            for item, count in act.uses:
                if not act.from_field[item]:
                    sealed[item] = sealed.get(item, 0) + count
                    continue
                level[item] = level.get(item, 0) - count
                if level[item] < 0 and lost:
                    return None
                ready[item] = max(ready.get(item, 0), -level[item])
            if spot in losses:
                level, lost = {}, True
            for item, count in act.opens:
                sealed[item] = sealed.get(item, 0) + count
                level[item] = level.get(item, 0) + count
        return _Needs(tuple(sealed.items()), tuple(ready.items()))


class _Needs(NamedTuple):
    sealed: Pieces
    ready: Pieces


class Rest:
    """The steps that are still to come, and whether a state is one to go on from."""

    def __init__(self, course: WalkedBranch, place: int, stocks: Stocks) -> None:
        self.acts = course.branch.acts[place:]
        self.ends = course.branch.ends
        self.uses = _used_by(self.acts)
        self.needs = _ready_needed(self.acts, len(course.branch.items))
        self._course = course
        self._place = place
        self._stocks = stocks
        self._wanting: dict[int, Wanting] = {}

    def keeps_rules(self, facts: int) -> bool:
        """Return whether the steps to come break no rule, to a good end; items apart."""
        return self._course.losses(self._place, facts) is not None

    def passes(self, facts: int, stock: int) -> bool:
        """Return whether the steps to come can be done from here as they stand."""
        losses = self._course.losses(self._place, facts)
        if losses is None:
            return False
        return self._course.has_items(self._place, losses, self._stocks.left[stock])

    def wanting(self, stock: int) -> Wanting:
        """Return what must be opened on to the field for the steps to come."""
        found = self._wanting.get(stock)
        if found is None:
            left = self._stocks.left[stock]
            pieces = tuple(
                (item, count - left.ready[item])
                for item, count in self.needs
                if count > left.ready[item]
            )
            enough = all(left.sealed[i] + left.ready[i] >= n for i, n in self.uses)
            found = self._wanting[stock] = Wanting(pieces, count_of(pieces), enough)
        return found


def _used_by(acts: Sequence[Act]) -> Pieces:
    counts: dict[int, int] = {}
    for act in acts:
        for item, count in act.uses:
            counts[item] = counts.get(item, 0) + count
    return tuple(counts.items())


def _ready_needed(acts: Sequence[Act], items: int) -> Pieces:
    """Return how many of each item must lie on the field before the acts begin."""
    level, lowest = [0] * items, [0] * items
    for act in acts:
        for item, count in act.uses:
            if act.from_field[item]:
                level[item] -= count
                lowest[item] = min(lowest[item], level[item])
        for item, count in act.opens:
            level[item] += count
    return tuple((p, -low) for p, low in enumerate(lowest) if low < 0)
