"""Which steps stand elsewhere than published: as few as explain the change."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


def moved(places: Sequence[tuple[str, int]]) -> list[tuple[int, str]]:
    """Return what was moved: its position in the list, and "D7 now before D5".

    Parameters
    ----------
    places
        Ids in the order in which they are published, each with its place now. An id
        may stand more than once, for steps that stand for one another.
    """
    stay = _staying(places)
    found = []
    for n, (id_, place) in enumerate(places):
        if n in stay:
            continue
        earlier = [places[k] for k in sorted(stay) if k < n and places[k][1] > place]
        later = [places[k] for k in sorted(stay) if k > n and places[k][1] < place]
        if earlier:
            found.append((n, f"{id_} now before {earlier[0][0]}"))
        else:
            found.append((n, f"{id_} now after {later[-1][0]}"))
    return found


def _staying(places: Sequence[tuple[str, int]]) -> set[int]:
    """Return the positions of what stays: places that never fall, of the most ids.

    Steps that stand for one another count as one together.
    """
    times = Counter(id_ for id_, _ in places)
    best: list[Fraction] = []
    before: list[int | None] = []
    for n, (id_, place) in enumerate(places):
        lower = [k for k in range(n) if places[k][1] <= place]
        last = max(lower, key=best.__getitem__, default=None)
        before.append(last)
        best.append(Fraction(1, times[id_]) + (0 if last is None else best[last]))
    kept: set[int] = set()
    one = max(range(len(best)), key=best.__getitem__, default=None)
    while one is not None:
        kept.add(one)
        one = before[one]
    return kept
