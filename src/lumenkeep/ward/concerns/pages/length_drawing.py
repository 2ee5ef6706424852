"""The lengths of a line over time, drawn with what they are compared with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.watch.length import NORMAL_95, arm_against
from lumenkeep.core.watch.length_words import short_words
from lumenkeep.drawing.lengths_chart import Lengths, Reading, lengths_chart

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, tzinfo

    from lumenkeep.drawing.figure import Drawing
    from lumenkeep.ward.concerns.watch_line import WatchedLine

TITLE = "Length outside the skin"


def length_drawing(
    lengths: Sequence[tuple[datetime, float]], watched: WatchedLine, zone: tzinfo
) -> Drawing | None:
    """Return the drawing; None where no length was ever charted.

    Parameters
    ----------
    lengths
        Instant (UTC) and length (mm), oldest first.
    watched
        What they say.
    zone
        The ward's zone.
    """
    if not lengths:
        return None
    verdict, rules = watched.verdict, watched.rules
    baseline = verdict.baseline
    otherwise = {
        one.at
        for one in watched.compared
        if baseline is not None and arm_against(baseline, one) == "other"
    }
    readings = tuple(
        Reading(
            at,
            mm,
            "arm lay otherwise" if at in otherwise else "",
            _signal(at, watched),
        )
        for at, mm in lengths
    )
    error = NORMAL_95 * 2**0.5 * rules.error.sd if rules.error else None
    limit = min((one.mm for one in rules.limits), default=None)
    is_baseline = baseline is not None and verdict.state != "cannot-judge"
    drawn = Lengths(
        readings, baseline.mm if baseline and is_baseline else None, error, limit
    )
    return lengths_chart("lengths", TITLE, drawn, zone, sentence=watched.sentence)


def _signal(at: datetime, watched: WatchedLine) -> str:
    if at not in watched.length_found_at:
        return ""
    verdict = watched.verdict
    is_latest = verdict.latest is not None and verdict.latest.at == at
    if is_latest and verdict.state == "moved" and verdict.shift is not None:
        return short_words(verdict.shift)
    return "moved"
