"""What the ward view says of concerns: a mark on each strip, and how many there are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.errors import PolicyError
from lumenkeep.text.moments import counted
from lumenkeep.ward.concerns.listing import ward_concerns
from lumenkeep.ward.concerns.repository import DjangoConcernShelf

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from lumenkeep.ward.chart.pages.desk import Desk
    from lumenkeep.ward.concerns.listing import ListedConcern
    from lumenkeep.ward.site.people import WardRecord

NOT_JUDGED = "Concerns cannot be judged: the policy gives no answer."
HELD = "do not use"


@dataclass(frozen=True, slots=True)
class ConcernMarks:
    """Marks by line's key, and the sum of them in words; empty where there is none.

    ``held`` are the keys of the lines that must not be used.
    """

    by_line: Mapping[str, str]
    words: str
    held: frozenset[str] = frozenset()


def concern_marks(at: Desk, wards: Iterable[WardRecord], now: datetime) -> ConcernMarks:
    """Return what to say of the open concerns of these wards at ``now`` (UTC)."""
    shelf = DjangoConcernShelf()
    by_line: dict[str, list[ListedConcern]] = {}
    overdue = total = 0
    is_judged = True
    for ward in wards:
        try:
            listed = ward_concerns(shelf, at.policies, ward, now)
        except PolicyError:
            is_judged = False
            continue
        for one in listed:
            by_line.setdefault(one.line, []).append(one)
            overdue += one.concern.is_overdue
            total += 1
    marks = {key: _mark(concerns) for key, concerns in by_line.items()}
    words = ""
    if total:
        words = counted(total, "concern is open", "concerns are open")
        words += f", {overdue} overdue." if overdue else "."
    if not is_judged:
        words = f"{words} {NOT_JUDGED}".strip()
    held = frozenset(
        key
        for key, concerns in by_line.items()
        if any(one.concern.is_held for one in concerns)
    )
    return ConcernMarks(marks, words, held)


def _mark(concerns: list[ListedConcern]) -> str:
    """Return the most pressing concern in a few words, and how many more there are."""
    first = concerns[0].concern
    said = f"Concern: {first.found.short}"
    if any(one.concern.is_held for one in concerns):
        said += f", {HELD}"
    if first.is_overdue:
        said += ", overdue"
    more = len(concerns) - 1
    return said + (f", and {counted(more, 'more', 'more')}" if more else "")
