"""Where a child lies and where on the body its line is, by the chart's entries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import standing

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry


@dataclass(frozen=True, slots=True)
class Place:
    """Ward key and bed of the child's last stay, and the side the line is on.

    Each is None where no entry says so.
    """

    ward: str | None
    bed: str | None
    side: str | None


def place(
    entries: Iterable[Entry],
    at: datetime | None = None,
    *,
    known_at: datetime | None = None,
) -> Place:
    """Return where the child lay at ``at``, by entries written until ``known_at``.

    Parameters
    ----------
    entries
        Of one line and its child, in any order.
    at, known_at
        Instants (UTC); None leaves nothing out.
    """
    ward = bed = side = None
    for entry in standing(entries, known_at):
        if at is not None and entry.happened_at > at:
            break
        if entry.kind == "stay":
            ward, bed = entry.body.get("ward"), entry.body.get("bed")
        elif entry.kind == "line-inserted":
            side = entry.body.get("side")
    return Place(ward, bed, side)
