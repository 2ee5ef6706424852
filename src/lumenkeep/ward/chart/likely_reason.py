"""Why a dressing is probably changed: what was found on it, or as planned."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.entries.kinds.of_dressing import PLANNED
from lumenkeep.core.model import known_or_none

if TYPE_CHECKING:
    from lumenkeep.ward.chart.line_at_hand import LineAtHand


def likely_reason(found: LineAtHand) -> str:
    """Return the last finding on the dressing that is on, or that it was due."""
    worn = found.record.state.case.line.dressing
    findings = known_or_none(worn.findings)
    return findings[-1].kind if findings else PLANNED
