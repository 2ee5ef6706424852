"""Counts by hand beside those from the chart, and the estimate from one day a week."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.model.entry import not_put_right
from lumenkeep.core.outcomes.counting import (
    DayCount,
    Sampled,
    compare_counts,
    sampling_barred,
    weekly_sample,
)
from lumenkeep.ward.outcomes.figures import Period, months_of, weeks_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lumenkeep.core.outcomes.daily_count import CountedDay
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.ward.outcomes.records import ManualCount

ALL_DAYS = 7


def standing_counts(counts: Iterable[ManualCount]) -> dict[date, ManualCount]:
    """Return the count that stands for each day: the last of its corrections."""
    return {count.on: count for count in not_put_right(counts)}


@dataclass(frozen=True, slots=True)
class MonthBeside:
    """A month counted both ways, on the days that have both.

    ``percent`` is how far the chart's line-days lie from those by hand; None where
    there is nothing to compare. ``is_whole`` says that every day has both counts.
    """

    month: Period
    days: int
    by_hand: int
    by_chart: int
    percent: float | None
    is_near: bool
    is_whole: bool
    words: str


@dataclass(frozen=True, slots=True)
class HandAgainstChart:
    """All months, whether the chart may replace the hand, and that in words."""

    months: tuple[MonthBeside, ...]
    may_replace: bool
    words: str


def beside_each_other(
    days: Sequence[CountedDay],
    by_hand: Mapping[date, ManualCount],
    protocol: Protocol,
) -> HandAgainstChart | None:
    """Return the comparison by calendar month; None where nothing was counted by hand.

    Only whole months count towards the months in a row.
    """
    if not days or not by_hand:
        return None
    charted = {day.on: day.count for day in days if day.count is not None}
    months = [
        _month(month, charted, by_hand, protocol)
        for month in months_of(days[0].on, days[-1].on)
    ]
    # A month that is not whole ends the row: nothing is known of the rest of it.
    sums = [
        (float(m.by_hand), float(m.by_chart)) if m.is_whole else (0.0, 0.0)
        for m in months
    ]
    found = compare_counts(sums, protocol)
    needed = protocol.count("counts-months")
    limit = protocol.limits["counts-within-percent"]
    words = (
        f"The chart’s count may replace the count by hand: {needed} whole months in a "
        f"row lie within {limit:g} %."
        if found.may_replace
        else f"Keep counting by hand: it takes {needed} whole months in a row within "
        f"{limit:g} %, and there are not as many yet."
    )
    return HandAgainstChart(tuple(months), found.may_replace, words)


def _month(
    month: Period,
    charted: Mapping[date, DayCount],
    by_hand: Mapping[date, ManualCount],
    protocol: Protocol,
) -> MonthBeside:
    both = [on for on in charted if on in by_hand and month.holds(on)]
    hand = sum(by_hand[on].with_line for on in both)
    chart = sum(charted[on].with_line for on in both)
    is_whole = len(both) == month.length and _is_calendar_month(month)
    compared = compare_counts([(float(hand), float(chart))], protocol)
    percent, is_near = compared.percent[0], compared.is_near[0]
    if not both:
        words = "No day was counted both ways."
    elif percent is None:
        words = "No line-day by hand: there is nothing to compare with."
    else:
        near = "near enough" if is_near else "too far apart"
        words = f"{percent:+.1f} %: {near}"
        words += "." if is_whole else f", on {len(both)} of {month.length} days."
    return MonthBeside(month, len(both), hand, chart, percent, is_near, is_whole, words)


def _is_calendar_month(month: Period) -> bool:
    return month.first.day == 1 and (month.last + timedelta(days=1)).day == 1


@dataclass(frozen=True, slots=True)
class MonthSampled:
    """A month's line-days by one day a week, beside the full count."""

    month: Period
    sampled: Sampled | None
    full: int
    days: tuple[date, ...]


@dataclass(frozen=True, slots=True)
class Sampling:
    """The estimates by month, and why this ward may not use them, if it may not."""

    weekday: str
    months: tuple[MonthSampled, ...]
    barred: tuple[str, ...]


def sample_weekly(
    counts: Mapping[date, DayCount],
    first: date,
    last: date,
    weekday: int,
    unit: str,
    protocol: Protocol,
) -> Sampling:
    """Return what counting on one weekday alone would have given.

    Parameters
    ----------
    counts
        Every counted day; child-days are needed in full.
    weekday
        1 for Monday to 7 for Sunday. Where that day was not counted, the next one of
        the week that may be taken is.
    unit
        Kind of unit, as the ward's hour says.
    """
    months = []
    for month in months_of(first, last):
        here = {on: count for on, count in counts.items() if month.holds(on)}
        samples = [
            found
            for week in weeks_of(month.first, month.last)
            if (found := _sample_of(week, here, weekday, protocol)) is not None
        ]
        child_days = sum(count.children for count in here.values())
        months.append(
            MonthSampled(
                month,
                weekly_sample(samples, child_days, protocol),
                sum(count.with_line for count in here.values()),
                tuple(count.on for count in samples),
            )
        )
    whole = [float(m.full) for m in months if _is_calendar_month(m.month)]
    names = (
        "Monday",
        "Tuesday",
        "Wednesday",
        "Thursday",
        "Friday",
        "Saturday",
        "Sunday",
    )
    return Sampling(
        names[weekday - 1], tuple(months), sampling_barred(unit, whole, protocol)
    )


def _sample_of(
    week: Period, counts: Mapping[date, DayCount], weekday: int, protocol: Protocol
) -> DayCount | None:
    days = [week.first + timedelta(days=n) for n in range(week.length)]
    days.sort(key=lambda on: (on.isoweekday() - weekday) % ALL_DAYS)
    fit = [
        on
        for on in days
        if on in counts
        and on.isoweekday() >= weekday
        and str(on.isoweekday()) not in protocol.words["no_sample_on"]
    ]
    return counts[fit[0]] if fit else None
