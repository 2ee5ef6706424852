"""Why a line must not be used, for every page on which it could be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.reading.line_reading import read_line
from lumenkeep.ward.chart.rules_of_ward import RulesOfWard

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.chart.pages.desk import Desk


def holds_at(at: Desk, found: LineAtHand, instant: datetime) -> tuple[str, ...]:
    """Return in sentences why a line must not be used; empty where it may be.

    Parameters
    ----------
    instant
        As it was known at this instant (UTC).
    """
    entries = at.chart.entries(found.record.key)
    rules = RulesOfWard(at.policies, found.ward)
    reading = read_line(entries, instant, rules, found.ward.zone, known_at=instant)
    return tuple(hold.sentence for hold in reading.holds)
