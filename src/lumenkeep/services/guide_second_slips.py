"""What to do after a slip that happens during a way back, for every way and every act.

There are tens of thousands of them in a long procedure and few that differ, so each is
written once and named by its place in a list.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.asepsis.way_back import Recovery, WayBack
    from lumenkeep.services.guide_acts import ActBook

WAY_BACK = "way-back"


def ways_in_ways(
    recovery: Recovery, found: Iterable[WayBack], book: ActBook
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
        happens; and ``rows``. Ways from the same state by the same acts to the same
        step are one group, whatever is left of the spares.
    """
    of: dict[str, int] = {}
    numbers: dict[tuple[object, ...], int] = {}
    groups: list[dict[str, list[int]]] = []
    rows = _Rows(recovery, book)
    for way in found:
        if way.ending != WAY_BACK:
            continue
        acts = tuple(act.step.id for act in way.acts)
        key = (way.start[:-1], acts, way.resumes)
        if key not in numbers:
            numbers[key] = len(groups)
            groups.append(rows.of_way(way))
        of[f"{way.step}/{way.slip.id}"] = numbers[key]
    return {"of": of, "groups": groups, "rows": rows.rows}


class _Rows:
    """The rows written so far, each once."""

    def __init__(self, recovery: Recovery, book: ActBook) -> None:
        self.rows: list[dict[str, Any]] = []
        self._recovery = recovery
        self._book = book
        self._places: dict[tuple[object, ...], int] = {}

    def of_way(self, way: WayBack) -> dict[str, list[int]]:
        """Return the rows of one way, by the place of the act; the first is the saying."""
        found: dict[str, list[int]] = {}
        for at in range(1, len(way.acts)):
            again = [self._recovery.again(way, at, s) for s in self._recovery.slips]
            here = [self._place(way, one) for one in again if one is not None]
            if here:
                found[str(at)] = here
        return found

    def _place(self, first: WayBack, second: WayBack) -> int:
        acts = self._recovery.branch.acts
        is_back = second.ending == WAY_BACK
        needs = _more(self._recovery, first, second) if is_back else {}
        names = tuple(self._book.name(act) for act in second.acts)
        key = (
            second.slip.id, second.ending, names, second.resumes,
            tuple(needs.items()), second.lacking, second.because,
        )  # fmt: skip
        if key not in self._places:
            self._places[key] = len(self.rows)
            then = acts[second.resumes].step.id if second.resumes < len(acts) else None
            row = {
                "slip": second.slip.id,
                "ending": second.ending,
                "acts": list(names),
                "then": then if is_back else None,
                "cost": second.cost._asdict() if is_back else None,
                "needs": needs,
                "lacking": dict(second.lacking),
            }
            if second.because != second.slip.because:
                row["because"] = second.because
            self.rows.append(row)
        return self._places[key]


def sealed_used(recovery: Recovery, found: WayBack) -> dict[int, int]:
    """Return what a way back and the rest after it take from what is sealed (count).

    By the item's place; what lies on the field is counted where it is opened.
    """
    used: dict[int, int] = {}
    for act in (*found.acts, *recovery.branch.acts[found.resumes :]):
        in_hand = [pair for pair in act.uses if not act.from_field[pair[0]]]
        for spot, count in (*act.opens, *in_hand):
            used[spot] = used.get(spot, 0) + count
    return used


def _more(recovery: Recovery, first: WayBack, second: WayBack) -> dict[str, int]:
    """Return what a second way back takes beyond what the first would have taken.

    Both are held against what lay sealed after the first slip.
    """
    planned = sealed_used(recovery, first)
    needs = {}
    for spot, count in sorted(sealed_used(recovery, second).items()):
        gone = first.start.items[spot].sealed - second.start.items[spot].sealed
        more = count + gone - planned.get(spot, 0)
        if more > 0:
            needs[recovery.branch.items[spot]] = more
    return needs
