"""The figures of a ward by period, each with the days and infections behind it.

About a change of practice the cut is made on the day of the change, so that no period
holds both practices.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.counting import DayCount, utilisation_ratio
from lumenkeep.core.outcomes.daily_count import WHY, CountedDay
from lumenkeep.core.outcomes.statistics.counts import rate_per_1000
from lumenkeep.ward.outcomes.records import InfectionEvent

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lumenkeep.core.outcomes.statistics.interval import Limits
    from lumenkeep.ward.outcomes.records import ManualCount

MONTHS_WORTH_CHARTING = 6
WEEK, FOUR_WEEKS = timedelta(days=7), timedelta(days=28)
ONE_DAY = timedelta(days=1)
DAYS_IN_WEEKS = 366
DECEMBER = 12


@dataclass(frozen=True, slots=True)
class Period:
    """Days from ``first`` to ``last``, both included, with a short name."""

    label: str
    first: date
    last: date

    @property
    def length(self) -> int:
        """How many days it has."""
        return (self.last - self.first).days + 1

    def holds(self, on: date) -> bool:
        """Whether a day lies in it."""
        return self.first <= on <= self.last


def months_of(first: date, last: date) -> tuple[Period, ...]:
    """Return the calendar months, the outer ones cut to the time."""
    found, start = [], first
    while start <= last:
        following = _next_month(start)
        end = min(last, following - ONE_DAY)
        found.append(Period(f"{start:%b %Y}", start, end))
        start = following
    return tuple(found)


def _next_month(day: date) -> date:
    year, month = (
        (day.year + 1, 1) if day.month == DECEMBER else (day.year, day.month + 1)
    )
    return date(year, month, 1)


def weeks_of(first: date, last: date) -> tuple[Period, ...]:
    """Return blocks of seven days, the last as it falls; named by their first day."""
    return _blocks(first, last, WEEK)


def _blocks(first: date, last: date, step: timedelta) -> tuple[Period, ...]:
    found, start = [], first
    while start <= last:
        found.append(Period(_day(start), start, min(last, start + step - ONE_DAY)))
        start += step
    return tuple(found)


def _day(day: date) -> str:
    return f"{day.day} {day:%b}"


def periods_of(first: date, last: date) -> tuple[tuple[Period, ...], str]:
    """Return the periods a chart is drawn by, and what one is called."""
    months = months_of(first, last)
    if len(months) > MONTHS_WORTH_CHARTING:
        return months, "month"
    return weeks_of(first, last), "week"


def periods_about(
    first: date, last: date, change: date
) -> tuple[tuple[Period, ...], int, str]:
    """Return periods of which one begins on the day of a change, and its number.

    Returns
    -------
    tuple
        The periods; the number of the first one of the new practice, from 1; what one
        is called. Outer periods may be shorter.
    """
    is_long = (last - first).days > DAYS_IN_WEEKS
    step = FOUR_WEEKS if is_long else WEEK
    before: list[Period] = []
    end = change - ONE_DAY
    while end >= first:
        start = max(first, end - step + ONE_DAY)
        before.append(Period(_day(start), start, end))
        end = start - ONE_DAY
    after = _blocks(change, last, step)
    found = (*reversed(before), *after)
    return found, len(before) + 1, "four weeks" if is_long else "week"


IN_WORDS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
    "ten", "eleven", "twelve",
)  # fmt: skip
HAND, CHART = "by hand", "from the chart"
PERCENT = 100.0


def number_in_words(number: int) -> str:
    """Return a small number as a word, a large one in digits."""
    return IN_WORDS[number] if number < len(IN_WORDS) else f"{number:,}"


def shown(value: float, digits: int = 1) -> str:
    """Return a number as it is said: "0" rather than "0.0"."""
    return "0" if value == 0 else f"{value:.{digits}f}"


def within(limits: Limits, digits: int = 1) -> str:
    """Return limits in brackets, as in "(0.2 to 6.0)"."""
    low = "no lower limit" if limits.low is None else shown(limits.low, digits)
    high = "no upper limit" if limits.high is None else shown(limits.high, digits)
    return f"({low} to {high})"


@dataclass(frozen=True, slots=True)
class UsedDay:
    """A day as the figures use it, and where its count came from.

    ``entries`` are the ids of the chart's entries behind it, or ``hand`` the id of a
    count by hand. A day without a count says why.
    """

    on: date
    count: DayCount | None
    source: str
    why: str
    entries: tuple[int, ...] = ()
    hand: int | None = None

    @property
    def words(self) -> str:
        """Why there is no count."""
        return WHY.get(self.why, "")


def days_in_use(
    days: Iterable[CountedDay], by_hand: Mapping[date, ManualCount]
) -> tuple[UsedDay, ...]:
    """Return each day by the chart, or by hand where the chart could not count it."""
    return tuple(_in_use(day, by_hand.get(day.on)) for day in days)


def _in_use(day: CountedDay, hand: ManualCount | None) -> UsedDay:
    if day.count is not None:
        entries = tuple(dict.fromkeys(e for c in day.children for e in c.entries))
        return UsedDay(day.on, day.count, CHART, "", entries)
    if hand is None:
        lost = tuple(entry for _, entry in day.lost)
        return UsedDay(day.on, None, "", day.why, lost)
    count = DayCount(
        day.on, hand.children, hand.with_line, hand.temporary or 0, hand.permanent or 0
    )
    return UsedDay(day.on, count, HAND, "", hand=hand.id)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its limits, in words, and the days and infections behind it."""

    name: str
    value: float | None
    words: str
    days: tuple[date, ...]
    low: float | None = None
    high: float | None = None
    unit: str = ""
    entries: tuple[int, ...] = ()
    infections: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PeriodRow:
    """The sums of a period.

    Attributes
    ----------
    missing
        Days without a count, by hand or by the chart.
    open_line_days, open_infections
        What cannot be said yet: days of children whose only lines are such that nobody
        said where the tip lies, and blood of which a fact would decide. They are left
        out of ``line_days`` and of ``infections`` alike.
    """

    period: Period
    child_days: int
    line_days: int
    temporary: int
    permanent: int
    infections: tuple[InfectionEvent, ...]
    missing: tuple[UsedDay, ...]
    by_hand: int
    open_line_days: int = 0
    open_infections: tuple[InfectionEvent, ...] = ()

    @property
    def events(self) -> int:
        """How many infections count."""
        return len(self.infections)

    @property
    def rate(self) -> float | None:
        """Infections per 1000 line-days; None without line-days."""
        if not self.line_days:
            return None
        return rate_per_1000(self.events, self.line_days).value

    @property
    def use(self) -> float | None:
        """Line-days for each child-day; None without child-days."""
        return utilisation_ratio(self.line_days, self.child_days)


def row_of(
    period: Period, days: Sequence[UsedDay], infections: Sequence[InfectionEvent]
) -> PeriodRow:
    """Return the sums of a period from all days and what is known of infections."""
    here = [day for day in days if period.holds(day.on)]
    events = [one for one in infections if period.holds(one.on)]
    counts = [day.count for day in here if day.count is not None]
    return PeriodRow(
        period,
        sum(c.children for c in counts),
        sum(c.with_line for c in counts),
        sum(c.temporary for c in counts),
        sum(c.permanent for c in counts),
        tuple(one for one in events if one.counts),
        tuple(d for d in here if d.count is None and d.why != "not-yet"),
        sum(day.source == HAND for day in here),
        sum(c.open for c in counts),
        tuple(one for one in events if one.counts is None),
    )


def rate_figure(row: PeriodRow, days: Sequence[UsedDay]) -> Figure:
    """Return infections per 1000 line-days with exact limits, as one sentence."""
    used = tuple(day.on for day in days if day.count is not None)
    entries = tuple(dict.fromkeys(e for day in days for e in day.entries))
    keys = tuple(i.key for i in row.infections)
    what = number_in_words(row.events)
    events = f"{what} infection{'' if row.events == 1 else 's'}".capitalize()
    if not row.line_days:
        words = (
            f"{events}, and no line-day was counted: there is no rate.{_if_open(row)}"
        )
        return Figure("rate", None, words, used, infections=keys)
    rate = rate_per_1000(row.events, row.line_days)
    words = (
        f"{events} in {row.line_days:,} line-days: {shown(rate.value)} per 1000 "
        f"{within(rate.exact)}.{_if_open(row)}"
    )
    return Figure(
        "rate", rate.value, words, used, rate.exact.low, rate.exact.high,
        "per 1000 line-days", entries, keys,
    )  # fmt: skip


def _if_open(row: PeriodRow) -> str:
    """Return how much is open, and what the rate would be if all of it counted."""
    infections, days = len(row.open_infections), row.open_line_days
    if not infections and not days:
        return ""
    parts = []
    if infections:
        one = infections == 1
        what = "infection" if one else "infections"
        parts.append(f"{number_in_words(infections)} {what}")
    if days:
        parts.append(f"{days:,} line-day{'' if days == 1 else 's'}")
    are = "is" if infections + days == 1 else "are"
    words = f" Open {are} {' and '.join(parts)}: left out until a fact is known."
    all_days = row.line_days + days
    if all_days:
        rate = rate_per_1000(row.events + infections, all_days)
        words += (
            f" If all counted: {row.events + infections} in {all_days:,}, "
            f"{shown(rate.value)} per 1000 {within(rate.exact)}."
        )
    return words


def use_figure(row: PeriodRow, days: Sequence[UsedDay]) -> Figure:
    """Return line-days for each child-day, as one sentence."""
    used = tuple(day.on for day in days if day.count is not None)
    value = row.use
    if value is None:
        return Figure("use", None, "No child-day was counted.", used)
    words = (
        f"{row.line_days:,} line-days in {row.child_days:,} child-days: a line on "
        f"{value * PERCENT:.0f} % of days."
    )
    if row.open_line_days:
        most = (row.line_days + row.open_line_days) / row.child_days
        words += (
            f" {row.open_line_days:,} more "
            f"{'is' if row.open_line_days == 1 else 'are'} open; "
            f"if all counted: {most * PERCENT:.0f} %."
        )
    if value > 1:
        words += (
            " More line-days than child-days cannot be: a child with several lines is "
            "one line-day. A count is wrong."
        )
    return Figure("use", value, words, used, unit="line-days a child-day")
