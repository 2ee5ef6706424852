"""Find the concern that somebody acts on, and what every act on one has in common."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.watch.concerns import Concern
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.line_at_hand import LineAtHand, line_at_hand
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.rules_of_ward import RulesOfWard
from lumenkeep.ward.concerns.listing import line_concerns
from lumenkeep.ward.concerns.records import OpenLine

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.records import Chart, Policies

NOTE = "note"


@dataclass(frozen=True, slots=True)
class ConcernAtHand:
    """A concern, and the line and ward it is about."""

    line: LineAtHand
    concern: Concern


def concerns_of_line(
    chart: Chart, policies: Policies, line: LineAtHand, at: datetime
) -> tuple[Concern, ...]:
    """Return every concern of a line as it stands at ``at`` (UTC), closed ones last."""
    record = line.record
    known = OpenLine(
        record.key, record.child, record.child_name, record.ward, record.last_entry
    )
    rules = RulesOfWard(policies, line.ward)
    entries = chart.entries(record.key)
    concerns = line_concerns(known, entries, rules, line.ward).at(at)
    return tuple(sorted(concerns, key=lambda one: not one.is_open))


def concern_at_hand(
    chart: Chart, policies: Policies, line: str, key: str, at: datetime
) -> ConcernAtHand:
    """Return one concern of a line, in place or removed.

    Raises
    ------
    ChartError
        ``chart-no-such-line``; ``chart-no-such-concern``: none has this key, perhaps
        because the entry that showed it has been taken back.
    """
    found = line_at_hand(chart, policies, line)
    for concern in concerns_of_line(chart, policies, found, at):
        if concern.key == key:
            return ConcernAtHand(found, concern)
    raise ChartError(
        [
            Fault(
                "chart-no-such-concern",
                "This line has no such concern; the entry that showed it may have been "
                "taken back.",
                "concern",
                "open the concern from the line’s page",
            )
        ]
    )


def open_concern(
    chart: Chart, policies: Policies, line: str, key: str, at: datetime
) -> ConcernAtHand:
    """Return one concern that nobody has closed.

    Raises
    ------
    ChartError
        As `concern_at_hand`; ``chart-concern-closed``: somebody has closed it.
    """
    found = concern_at_hand(chart, policies, line, key, at)
    if not found.concern.is_open:
        raise ChartError(
            [
                Fault(
                    "chart-concern-closed",
                    "This concern has been closed already.",
                    "concern",
                    "read how it was closed; if that was wrong, take the closing back "
                    "from the line’s history",
                )
            ]
        )
    return found


def chart_act(
    chart: Chart,
    found: ConcernAtHand,
    kind: str,
    at: datetime,
    by: str,
    body: dict[str, Any],
    submission: str | None,
) -> Sequence[Entry]:
    """Write one act on a concern, with what it is called and said now."""
    concern, record = found.concern, found.line.record
    whole = {
        "concern": concern.key,
        "label": concern.label,
        "says": concern.says,
        **body,
    }
    draft = Draft(record.child, record.key, kind, at, by, whole)
    ward = found.line.ward
    return chart.append([draft], ward.policy_set, ward=ward.key, submission=submission)
