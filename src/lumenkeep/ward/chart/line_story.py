"""One line in full: as it is, what is due, and all that was ever charted of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.core.due import DueTask, due_tasks
from lumenkeep.core.model.entry import Entry
from lumenkeep.ward.chart.line_at_hand import LineAtHand, line_at_hand

if TYPE_CHECKING:
    from lumenkeep.ward.chart.records import Chart, Policies


@dataclass(frozen=True, slots=True)
class LineStory:
    """A line with its history.

    Attributes
    ----------
    tasks
        The most urgent first; none for a line that is out.
    entries
        Latest happening first, corrected and withdrawn ones included.
    corrected_by
        Id of the correcting entry by the id of the corrected one.
    lengths
        Instant (UTC) and external length in mm, oldest first, corrected ones left out.
    """

    line: LineAtHand
    tasks: tuple[DueTask, ...]
    entries: tuple[Entry, ...]
    corrected_by: Mapping[int, int]
    lengths: tuple[tuple[datetime, float], ...]


def line_story(chart: Chart, policies: Policies, at: datetime, line: str) -> LineStory:
    """Return the story of one line, seen from ``at`` (UTC).

    Raises
    ------
    ChartError
        ``chart-no-such-line``.
    NoRuleError, RuleConflictError
        The ward's policy gives no answer for this line.
    """
    found = line_at_hand(chart, policies, line)
    state = found.record.state
    entries = sorted(
        chart.entries(line), key=lambda e: (e.happened_at, e.id), reverse=True
    )
    is_in = state.removed_at is None
    return LineStory(
        found,
        due_tasks(state.case, at, found.policy) if is_in else (),
        tuple(entries),
        {e.corrects: e.id for e in entries if e.corrects is not None},
        state.lengths,
    )
