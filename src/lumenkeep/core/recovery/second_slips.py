"""What to do after a second slip, and from which step on all is as the steps expect.

A way back may end with the assistant's gloves off, or the line taped and not held. All
rules hold, but until the steps have caught up another slip finds another room, and the
ways back of the undisturbed procedure are not to be used.

There are tens of thousands of them in a long procedure and few that differ, so each is
written once and named by its place in a list.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.effects import applied

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.state import State
    from lumenkeep.core.asepsis.way import WayBack
    from lumenkeep.core.asepsis.way_back import WaysBack
    from lumenkeep.core.recovery.acts import ActBook


def steady_place(ways_back: WaysBack, way: WayBack) -> int | None:
    """Return the place of the step from which on all is as expected; None for never."""
    acts = ways_back.branch.acts
    state: State = way.ends
    for place in range(way.resumes, len(acts)):
        if state[:-1] == ways_back.states[place][:-1]:
            return place
        state = applied(state, acts[place])
    return None


def steady_step(ways_back: WaysBack, way: WayBack) -> str | None:
    """Return the id of the step from which on all is as expected; None for never."""
    place = steady_place(ways_back, way)
    return None if place is None else ways_back.branch.acts[place].step.id


WAY_BACK = "way-back"


def ways_in_ways(
    ways_back: WaysBack, found: Iterable[WayBack], book: ActBook
) -> dict[str, Any]:
    """Return the ways back from second slips.

    Parameters
    ----------
    found
        Every first way back.
    book
        Where acts have their names.

    Returns
    -------
    dict
        ``of``, the number of a group by "step/slip" of the first slip; ``groups``,
        each with lists of rows by the place of the act at which the second slip
        happens; ``after``, for each group the lists of rows by the step, from the
        next one to where all is as the steps expect (`steady`); and ``rows``.
        Ways from the same state by the same acts to the same step are one group,
        whatever is left of the spares.
    """
    of: dict[str, int] = {}
    numbers: dict[tuple[object, ...], int] = {}
    groups: list[dict[str, list[int]]] = []
    after: list[dict[str, list[int]]] = []
    rows = _Rows(ways_back, book)
    for way in found:
        if way.ending != WAY_BACK:
            continue
        acts = tuple(act.step.id for act in way.acts)
        key = (way.start[:-1], acts, way.resumes)
        if key not in numbers:
            numbers[key] = len(groups)
            groups.append(rows.of_way(way))
            after.append(rows.after_way(way))
        of[f"{way.step}/{way.slip.id}"] = numbers[key]
    return {"of": of, "groups": groups, "after": after, "rows": rows.rows}


class _Rows:
    """The rows written so far, each once."""

    def __init__(self, ways_back: WaysBack, book: ActBook) -> None:
        self.rows: list[dict[str, Any]] = []
        self._ways_back = ways_back
        self._book = book
        self._places: dict[str, int] = {}

    def of_way(self, way: WayBack) -> dict[str, list[int]]:
        """Return the rows of one way, by the place of the act; the first is the saying."""
        found: dict[str, list[int]] = {}
        for at in range(1, len(way.acts)):
            again = [self._ways_back.again(way, at, s) for s in self._ways_back.slips]
            here = [
                self._place(one, _more(self._ways_back, way, one))
                for one in again
                if one is not None
            ]
            if here:
                found[str(at)] = here
        return found

    def after_way(self, way: WayBack) -> dict[str, list[int]]:
        """Return the rows of slips after a way back, by the step at which they happen."""
        acts = self._ways_back.branch.acts
        end = steady_place(self._ways_back, way)
        found: dict[str, list[int]] = {}
        longer = way
        for place in range(way.resumes, len(acts) if end is None else end):
            # The way back and the steps after it are one way to where the slip happens.
            longer = replace(
                longer, acts=(*longer.acts, acts[place]), place=place, resumes=place + 1
            )
            at = len(longer.acts) - 1
            again = [
                self._ways_back.again(longer, at, s) for s in self._ways_back.slips
            ]
            found[acts[place].step.id] = [
                self._place(one, _taken(self._ways_back, one))
                for one in again
                if one is not None
            ]
        return found

    def _place(self, second: WayBack, needs: dict[str, int]) -> int:
        acts = self._ways_back.branch.acts
        is_back = second.ending == WAY_BACK
        names = tuple(self._book.name(act) for act in second.acts)
        then = acts[second.resumes].step.id if second.resumes < len(acts) else None
        row = {
            "slip": second.slip.id,
            "ending": second.ending,
            "acts": list(names),
            "then": then if is_back else None,
            "steady": steady_step(self._ways_back, second) if is_back else None,
            "cost": second.cost._asdict() if is_back else None,
            "needs": needs if is_back else {},
            "lacking": dict(second.lacking),
        }
        if second.because != second.slip.because:
            row["because"] = second.because
        key = json.dumps(row)
        if key not in self._places:
            self._places[key] = len(self.rows)
            self.rows.append(row)
        return self._places[key]


def sealed_used(ways_back: WaysBack, found: WayBack) -> dict[int, int]:
    """Return what a way back and the rest after it take from what is sealed (count)."""
    rest = ways_back.branch.acts[found.resumes :]
    return sealed_used_by((*found.acts, *rest))


def sealed_used_by(acts: Iterable[Act]) -> dict[int, int]:
    """Return what acts take from what is sealed: count by the item's place.

    What lies on the field is counted where it is opened.
    """
    used: dict[int, int] = {}
    for act in acts:
        in_hand = [pair for pair in act.uses if not act.from_field[pair[0]]]
        for spot, count in (*act.opens, *in_hand):
            used[spot] = used.get(spot, 0) + count
    return used


def _taken(ways_back: WaysBack, second: WayBack) -> dict[str, int]:
    """Return what a way back takes from what is sealed (count by item)."""
    used = sealed_used_by(second.acts)
    return {ways_back.branch.items[spot]: count for spot, count in sorted(used.items())}


def _more(ways_back: WaysBack, first: WayBack, second: WayBack) -> dict[str, int]:
    """Return what a second way back takes beyond what the first would have taken.

    Both are held against what lay sealed after the first slip.
    """
    planned = sealed_used(ways_back, first)
    needs = {}
    for spot, count in sorted(sealed_used(ways_back, second).items()):
        gone = first.start.items[spot].sealed - second.start.items[spot].sealed
        more = count + gone - planned.get(spot, 0)
        if more > 0:
            needs[ways_back.branch.items[spot]] = more
    return needs
