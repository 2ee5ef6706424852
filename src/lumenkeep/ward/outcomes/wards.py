"""A ward among the others: the funnel, and small wards drawn towards the mean."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.counts import rate_per_1000
from lumenkeep.core.outcomes.statistics.funnel import (
    Dispersion,
    over_dispersion,
    ratio_limits,
)
from lumenkeep.core.outcomes.statistics.interval import Limits
from lumenkeep.core.outcomes.statistics.shrinkage import posterior, shrink

if TYPE_CHECKING:
    from collections.abc import Sequence

PER = 1000.0
FEWEST_WARDS = 3
FEWEST_TO_WIDEN = 10
"""Below it no ward is drawn in before the spread is measured, so that one ward that is
truly different would widen the limits round itself."""


@dataclass(frozen=True, slots=True)
class WardPoint:
    """A ward's rate, and what it is drawn to among the others (per 1000)."""

    key: str
    name: str
    events: int
    line_days: int
    rate: float
    drawn: float
    drawn_limits: Limits
    exact: Limits
    limits: tuple[float, float, float, float]

    @property
    def place(self) -> str:
        """Where it lies: "within", "beyond the inner limits", "beyond the outer"."""
        outer_low, inner_low, inner_high, outer_high = self.limits
        if not outer_low <= self.rate <= outer_high:
            return "beyond the outer limits"
        if not inner_low <= self.rate <= inner_high:
            return "beyond the inner limits"
        return "within the limits"


@dataclass(frozen=True, slots=True)
class WardFunnel:
    """Wards about their common rate ``overall`` (per 1000).

    ``widened_by`` is 1 where the limits are those of chance alone.
    ``is_alike`` says that the wards vary no more than chance; each is then drawn
    wholly to the common rate.
    """

    overall: float
    points: tuple[WardPoint, ...]
    dispersion: Dispersion
    widened_by: float
    is_alike: bool
    words: str
    caution: str

    def limits_at(self, line_days: float) -> tuple[float, float, float, float]:
        """Return the limits (0.1, 2.5, 97.5, 99.9 %) of a ward so large, per 1000."""
        expected = self.overall * line_days / PER
        return _limits(expected, self.overall, self.widened_by)


def funnel_of(
    wards: Sequence[tuple[str, str, int, int]], here: str
) -> WardFunnel | None:
    """Return the wards beside each other; None with fewer than three, or no infection.

    Parameters
    ----------
    wards
        Key, name, infections and line-days of each; those without line-days are left
        out.
    here
        Key of the ward that the sentence is about.
    """
    wards = [ward for ward in wards if ward[3] > 0]
    events = [ward[2] for ward in wards]
    days = [ward[3] for ward in wards]
    if len(wards) < FEWEST_WARDS or not sum(events):
        return None
    overall = sum(events) / sum(days) * PER
    expected = [overall * n / PER for n in days]
    spread = over_dispersion(events, expected)
    is_wide = spread.widen and len(wards) >= FEWEST_TO_WIDEN
    by = spread.phi**0.5 if is_wide else 1.0
    shrunk = shrink(events, expected)
    points = []
    for (key, name, x, n), e, mean in zip(wards, expected, shrunk.means, strict=True):
        limits, _ = posterior(x, e, shrunk.a, shrunk.b)
        drawn = Limits(1.0, 1.0) if shrunk.is_alike else limits
        points.append(
            WardPoint(
                key, name, x, n, x / n * PER, mean * overall, drawn.scaled(overall),
                rate_per_1000(x, n).exact, _limits(e, overall, by),
            )
        )  # fmt: skip
    return WardFunnel(
        overall, tuple(points), spread, by, shrunk.is_alike,
        _words(points, here, overall), _caution(len(points), spread),
    )  # fmt: skip


def _limits(
    expected: float, overall: float, by: float
) -> tuple[float, float, float, float]:
    a, b, c, d = (
        max(0.0, 1.0 + (limit - 1.0) * by) * overall for limit in ratio_limits(expected)
    )
    return a, b, c, d


def _words(points: Sequence[WardPoint], here: str, overall: float) -> str:
    own = next((point for point in points if point.key == here), None)
    if own is None:
        return f"All wards together: {overall:.1f} per 1000 line-days."
    if own.place == "within the limits":
        told = "no further from the others than chance takes a ward of its size"
    elif own.rate > overall:
        told = f"higher than the others, {own.place}"
    else:
        told = f"lower than the others, {own.place}"
    return f"{own.name} is {told} (all wards together {overall:.1f} per 1000)."


def _caution(wards: int, spread: Dispersion) -> str:
    few = (
        f"{wards} wards are few: they differ in their children, and the common rate is "
        "partly each ward’s own."
    )
    if not spread.widen:
        return f"The limits are those of chance alone. {few}"
    told = f"The wards vary more than chance (phi {spread.phi:.2f})"
    if wards >= FEWEST_TO_WIDEN:
        return f"{told}, so the limits are widened by its root. {few}"
    return (
        f"{told}. Among {wards} that cannot be told from one ward being different, so "
        f"the limits are those of chance alone. {few}"
    )
