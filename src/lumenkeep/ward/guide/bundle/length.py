"""The card by which a tablet without a network judges a length that is typed.

It is the watch's own: the same lengths, rules and bounds as on the line's page.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.reading.line_reading import read_line
from lumenkeep.core.reading.line_rules import RulesOfSet
from lumenkeep.core.watch.length_rules import moved_asks
from lumenkeep.core.watch.length_typed import typed_length_card

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.line_at_hand import LineAtHand


def length_card(
    found: LineAtHand,
    entries: Sequence[Entry],
    at: datetime,
    bounds: tuple[float, float],
    arms: Sequence[str],
) -> dict[str, Any] | None:
    """Return what each length that may be typed would mean.

    Parameters
    ----------
    entries
        Of the line and its child; none for a line that is invented.
    at
        When it is measured (UTC).
    bounds
        What is possible (mm).
    arms
        Words for how the arm may lie.
    """
    if not any(entry.kind == "line-inserted" for entry in entries):
        return None
    zone = found.ward.zone
    reading = read_line(entries, at, RulesOfSet(found.policy, zone), zone)
    return typed_length_card(
        reading.compared,
        reading.length_rules,
        bounds,
        arms=arms,
        moved_do=moved_asks(found.policy.on(at.astimezone(zone).date())),
    )
