"""Find the line that a form is about, its ward and the policy in force there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import standing
from lumenkeep.core.policy import Policy
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.records import LineRecord
from lumenkeep.ward.site.people import WardRecord

if TYPE_CHECKING:
    from lumenkeep.ward.chart.records import Chart, Policies


@dataclass(frozen=True, slots=True)
class LineAtHand:
    """A line, the ward its child lies on, and the policy in force there."""

    record: LineRecord
    ward: WardRecord
    policy: Policy


def line_at_hand(chart: Chart, policies: Policies, key: str) -> LineAtHand:
    """Return the line, in place or removed.

    Of a child who has left the wards it is the line as its last ward knows it: a
    result may come late, and a slip is mended when it is seen.

    Raises
    ------
    ChartError
        ``chart-no-such-line``: none has this key, or its child lay on no ward ever.
    """
    record = chart.line(key)
    if record is None:
        raise ChartError([_no_line("There is no such line on the chart.")])
    ward = ward_of(chart, record) or _last_ward(chart, key)
    if ward is None:
        raise ChartError([_no_line("The line's child lies on no ward.")])
    policy = policies.in_force(ward.policy_set, ward.key)
    return LineAtHand(record, ward, policy)


def line_in_place(chart: Chart, policies: Policies, key: str) -> LineAtHand:
    """Return the line, which must still be in.

    Raises
    ------
    ChartError
        ``chart-line-removed``: nothing more can be done on it; also as
        `line_at_hand`.
    """
    found = line_at_hand(chart, policies, key)
    if found.record.state.removed_at is not None:
        raise ChartError(
            [
                Fault(
                    "chart-line-removed",
                    "This line has been taken out.",
                    "line",
                    "open the child's other line, or correct the removal first",
                )
            ]
        )
    return found


def ward_of(chart: Chart, record: LineRecord) -> WardRecord | None:
    """Return the ward the line's child lies on; None for a child on no ward."""
    return next((ward for ward in chart.wards() if ward.key == record.ward), None)


def _last_ward(chart: Chart, key: str) -> WardRecord | None:
    """Return the ward the line's child lay on last; None where it lay on none."""
    stays = [entry for entry in standing(chart.entries(key)) if entry.kind == "stay"]
    known = {ward.key: ward for ward in chart.wards()}
    lain = [known.get(entry.body.get("ward") or "") for entry in stays]
    return next((ward for ward in reversed(lain) if ward is not None), None)


def _no_line(what: str) -> Fault:
    return Fault("chart-no-such-line", what, "line", "open the line from the ward view")
