"""The external length over time, as a small drawing, a sentence and a table."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from lumenkeep.web.pages.shapes.words import capital, moment_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, tzinfo

HEIGHT = 120
MARGIN = 16
LEAST_RANGE_MM = 10.0


@dataclass(frozen=True, slots=True)
class LengthPoint:
    """A measurement: where it is drawn (percent, pixels) and what it says."""

    x: float
    y: float
    when: str
    mm: str
    change: str


@dataclass(frozen=True, slots=True)
class Segment:
    """A stroke between two measurements (percent across, pixels down)."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class LengthChart:
    """The drawing; ``sentence`` says what it shows."""

    height: int
    first_y: float
    points: tuple[LengthPoint, ...]
    segments: tuple[Segment, ...]
    sentence: str


def length_chart(
    lengths: Sequence[tuple[datetime, float]], now: datetime, zone: tzinfo
) -> LengthChart | None:
    """Return the external length over time; None where it was never measured.

    Parameters
    ----------
    lengths
        Instant (UTC) and length (mm), oldest first.
    now
        The present instant (UTC), the right end of the drawing.
    zone
        The ward's zone.

    Notes
    -----
    The scale shows at least `LEAST_RANGE_MM`, so that a difference of one millimetre
    does not look like a leap.
    """
    if not lengths:
        return None
    start = lengths[0][0]
    whole = max((now - start).total_seconds(), 1.0)
    values = [mm for _, mm in lengths]
    middle = (max(values) + min(values)) / 2
    half = max(max(values) - min(values), LEAST_RANGE_MM) / 2

    def y(mm: float) -> float:
        share = (middle + half - mm) / (2 * half)
        return round(MARGIN + share * (HEIGHT - 2 * MARGIN), 1)

    first = values[0]
    points = tuple(
        LengthPoint(
            x=round(2 + (at - start).total_seconds() / whole * 96, 2),
            y=y(mm),
            when=capital(moment_in_words(at, now, zone)),
            mm=f"{mm:g} mm",
            change=_change(mm - first) if position else "first measured",
        )
        for position, (at, mm) in enumerate(lengths)
    )
    segments = tuple(Segment(a.x, a.y, b.x, b.y) for a, b in pairwise(points))
    return LengthChart(HEIGHT, y(first), points, segments, _sentence(lengths, points))


def _change(mm: float) -> str:
    if not mm:
        return "unchanged"
    return f"{abs(mm):g} mm {'longer' if mm > 0 else 'shorter'}"


def _sentence(
    lengths: Sequence[tuple[datetime, float]], points: Sequence[LengthPoint]
) -> str:
    last = points[-1]
    if len(points) == 1:
        return f"{last.mm}, measured once."
    difference = lengths[-1][1] - lengths[0][1]
    if not difference:
        return f"{last.mm}, as when it was first measured."
    return f"{last.mm}: {_change(difference)} than when it was first measured."
