"""Before and after a change of practice, with what such a comparison cannot tell."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.ratios import TwoRates, compare_two_rates
from lumenkeep.core.outcomes.statistics.segmented import Segmented, before_and_after
from lumenkeep.ward.outcomes.figures import (
    ONE_DAY,
    Period,
    PeriodRow,
    periods_about,
    row_of,
    shown,
    within,
)
from lumenkeep.ward.versions.life import timeline
from lumenkeep.ward.versions.records import IN_FORCE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.ward.outcomes.figures import UsedDay
    from lumenkeep.ward.outcomes.records import InfectionEvent
    from lumenkeep.ward.site.people import WardRecord
    from lumenkeep.ward.versions.records import StepRecord

SURE_BELOW = 0.05
WIDEST = 1000.0
"""Limits further apart than this, as a ratio, say nothing and are not shown."""
LIMITS_SAID = (
    "It knows of nothing else that changed at that time, of no season, and not which "
    "children lay there. A ward that did not change, followed beside this one, would "
    "tell more."
)


@dataclass(frozen=True, slots=True)
class ChangeDay:
    """A day on which practice changed, and what is known of it."""

    on: date
    words: str


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """The comparison about one day.

    ``model`` is None where the data cannot carry it, and ``why_not`` says so; the two
    rates are compared all the same.
    """

    change: ChangeDay
    unit: str
    first_after: int
    rows: tuple[PeriodRow, ...]
    before: PeriodRow
    after: PeriodRow
    rates: TwoRates | None
    model: Segmented | None
    why_not: str
    words: str
    caution: str


def policy_changes(
    steps: Sequence[StepRecord], ward: WardRecord, first: date, last: date
) -> tuple[ChangeDay, ...]:
    """Return the days on which another policy came into force on a ward."""
    found = []
    for step in timeline(steps, ward.key):
        if step.kind != IN_FORCE or step.starts_at is None:
            continue
        on = ward.day_of(step.starts_at)
        if first < on <= last:
            found.append(ChangeDay(on, "another policy came into force"))
    return tuple(found)


def compare_about(
    change: ChangeDay,
    first: date,
    last: date,
    days: Sequence[UsedDay],
    infections: Sequence[InfectionEvent],
) -> BeforeAfter:
    """Return rates before and after a day inside the time, and the segmented model."""
    periods, first_after, unit = periods_about(first, last, change.on)
    rows = tuple(row_of(period, days, infections) for period in periods)
    before = row_of(Period("before", first, change.on - ONE_DAY), days, infections)
    after = row_of(Period("after", change.on, last), days, infections)
    rates = None
    if before.line_days and after.line_days and before.events + after.events:
        rates = compare_two_rates(
            after.events, after.line_days, before.events, before.line_days
        )
    model, why_not = _model(rows, first_after)
    words = _words(before, after, rates, model)
    return BeforeAfter(
        change, unit, first_after, rows, before, after, rates, model, why_not, words,
        model.caution if model else LIMITS_SAID,
    )  # fmt: skip


def _model(rows: Sequence[PeriodRow], first_after: int) -> tuple[Segmented | None, str]:
    """Fit level and trend over the periods that have line-days."""
    kept = [(n, row) for n, row in enumerate(rows, 1) if row.line_days]
    start = next((k for k, (n, _) in enumerate(kept, 1) if n >= first_after), 0)
    try:
        found = before_and_after(
            [row.events for _, row in kept],
            [float(row.line_days) for _, row in kept],
            start or len(kept) + 1,
        )
    except (ValueError, ArithmeticError) as error:
        return None, f"Level and trend cannot be told apart: {error}."
    low, high = found.level.limits.low, found.level.limits.high
    if not low or not high or high / low > WIDEST:
        return (
            None,
            "Level and trend cannot be told apart: too few infections for both.",
        )
    return found, ""


def _words(
    before: PeriodRow, after: PeriodRow, rates: TwoRates | None, model: Segmented | None
) -> str:
    if before.rate is None or after.rate is None:
        return "One side of the change has no line-day, so nothing can be compared."
    told = f"{shown(before.rate)} per 1000 line-days before, {shown(after.rate)} after"
    if rates is None:
        return f"{told}: no infection on either side."
    if rates.p_mid >= SURE_BELOW:
        sure = "the difference is no larger than chance makes it"
    elif after.rate < before.rate:
        sure = "the fall is larger than chance alone makes it"
    else:
        sure = "the rise is larger than chance alone makes it"
    sentence = f"{told}: {sure}"
    if rates.ratio is not None:
        sentence += f" (ratio {rates.ratio:.2f} {within(rates.mid_p, 2)})"
    if model is not None:
        level = model.level
        sentence += (
            f". Allowing for a trend, the level went to {level.ratio:.2f} of what was "
            f"to be expected {within(level.limits, 2)}"
        )
    return f"{sentence}."
