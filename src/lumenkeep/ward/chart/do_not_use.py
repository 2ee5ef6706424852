"""Why a line is not to be used, as whoever is about to use it must be told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.reading.line_reading import Hold, read_line
from lumenkeep.ward.chart.rules_of_ward import RulesOfWard

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.chart.records import Chart, Policies


def do_not_use(
    chart: Chart, policies: Policies, line: LineAtHand, at: datetime
) -> tuple[Hold, ...]:
    """Return every reason not to use a line at an instant (UTC); none where it may be."""
    return do_not_use_by(policies, line, chart.entries(line.record.key), at)


def do_not_use_by(
    policies: Policies, line: LineAtHand, entries: Sequence[Entry], at: datetime
) -> tuple[Hold, ...]:
    """Return what some of a line's entries hold it for; none before its insertion."""
    if not any(entry.kind == "line-inserted" for entry in entries):
        return ()
    rules = RulesOfWard(policies, line.ward)
    return read_line(entries, at, rules, line.ward.zone).holds
