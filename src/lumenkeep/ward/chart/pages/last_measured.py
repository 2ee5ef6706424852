"""What was measured last, beside the field, so that a difference is seen at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import known_or_none
from lumenkeep.core.watch.length_words import compared_words
from lumenkeep.text.moments import day_in_words

if TYPE_CHECKING:
    from lumenkeep.ward.chart.charting.asked import Asked
    from lumenkeep.ward.chart.charting.bedside import Bedside

LENGTH, STITCHES = "external_length_mm", "stitches"


def last_measured(one: Asked, at_bed: Bedside) -> str:
    """Return the last length or count of stitches in words; empty for other fields."""
    key = one.field.key if one.field is not None else ""
    state = at_bed.reading.state
    if key == LENGTH and state.lengths:
        at, mm = state.lengths[-1]
        when = day_in_words(at, at_bed.now, at_bed.zone)
        return f"Last measured: {mm:g} mm, {when}.{_compared(at_bed)}"
    stitches = known_or_none(state.case.line.stitches)
    if key == STITCHES and stitches is not None:
        return f"Last counted: {stitches:g}."
    return ""


def _compared(at_bed: Bedside) -> str:
    """Return what lengths are compared with, as the line's page says it."""
    verdict = at_bed.reading.verdict
    if verdict.state == "cannot-judge" or verdict.baseline == verdict.latest:
        return ""
    return f" Compared with {compared_words(verdict)}."
