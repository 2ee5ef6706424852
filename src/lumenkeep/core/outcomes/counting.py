"""Denominators: children and line-days counted each day, and what is made of them.

These line-days start when a line is present in the unit, accessed or not; the count
for eligibility (`line_days`) starts at first access. A missing day is shown, never
skipped.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.line_spans import is_central

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.core.outcomes.timeline import TrackedLine

PERCENT = 100.0


@dataclass(frozen=True, slots=True)
class DayCount:
    """One day's count: children in the unit, and children with at least one line.

    ``temporary`` are children with a temporary line, whatever else they have;
    ``permanent`` have permanent lines only. ``open`` are children whose only lines are
    such that nobody said where the tip lies: they are not among ``with_line``.
    """

    on: date
    children: int
    with_line: int
    temporary: int = 0
    permanent: int = 0
    open: int = 0


@dataclass(frozen=True, slots=True)
class MonthCount:
    """The sums of a span of days, and the days nobody counted."""

    child_days: int
    line_days: int
    temporary: int
    permanent: int
    missing: tuple[date, ...]


def is_present(line: TrackedLine, on: date) -> bool:
    """Whether a line is in on a day, accessed or not; one of unknown age always was."""
    came = line.arrived
    has_come = came is None or came.day <= on
    return has_come and (line.removed is None or on <= line.removed.day)


def count_day(
    on: date, children: Iterable[Sequence[TrackedLine]], protocol: Protocol
) -> DayCount:
    """Return the count of a day; each child is the sequence of its lines.

    A child with several lines is one line-day, and with both kinds it counts under
    temporary.
    """
    total = with_line = temporary = permanent = is_open = 0
    for lines in children:
        total += 1
        there = [
            (line, is_central(line, protocol)) for line in lines if is_present(line, on)
        ]
        kinds = [
            line.kind in protocol.words["permanent"]
            for line, central in there
            if central
        ]
        is_open += not kinds and any(central is None for _, central in there)
        with_line += bool(kinds)
        temporary += bool(kinds) and not all(kinds)
        permanent += bool(kinds) and all(kinds)
    return DayCount(on, total, with_line, temporary, permanent, is_open)


def sum_of_days(counts: Iterable[DayCount], first: date, last: date) -> MonthCount:
    """Return the sums from ``first`` to ``last``, naming each day without a count."""
    found = {count.on: count for count in counts if first <= count.on <= last}
    length = (last - first).days + 1
    days = [first + timedelta(days=n) for n in range(length)]
    return MonthCount(
        sum(count.children for count in found.values()),
        sum(count.with_line for count in found.values()),
        sum(count.temporary for count in found.values()),
        sum(count.permanent for count in found.values()),
        tuple(day for day in days if day not in found),
    )


def denominator_line_days(line: TrackedLine, first: date, last: date) -> int:
    """Return the days from ``first`` to ``last`` on which a line was in."""
    start = first if line.arrived is None else max(first, line.arrived.day)
    end = last if line.removed is None else min(last, line.removed.day)
    return max(0, (end - start).days + 1)


def count_by_birthweight(
    infants: Iterable[tuple[float, int]], protocol: Protocol
) -> Mapping[str, tuple[int, int]]:
    """Return infants, and infants with a line, of each birthweight group.

    Parameters
    ----------
    infants
        Birthweight (g, never the current weight) and number of lines of each,
        umbilical ones included.
    """
    found: dict[str, tuple[int, int]] = {}
    for birthweight_g, lines in infants:
        stratum = protocol.stratum(birthweight_g)
        if stratum is not None:
            children, with_line = found.get(stratum, (0, 0))
            found[stratum] = (children + 1, with_line + (lines > 0))
    return found


def utilisation_ratio(line_days: float, child_days: float) -> float | None:
    """Return line-days for each child-day; None without child-days."""
    return line_days / child_days if child_days > 0 else None


@dataclass(frozen=True, slots=True)
class Sampled:
    """A month's line-days estimated from one day a week.

    ``cautions`` says why the estimate may not be used.
    """

    share: float
    line_days: float
    cautions: tuple[str, ...]


def weekly_sample(
    samples: Sequence[DayCount], month_child_days: float, protocol: Protocol
) -> Sampled | None:
    """Return the estimate of line-days; None where the samples hold no child.

    Parameters
    ----------
    samples
        Counts of one fixed weekday.
    month_child_days
        Child-days of the whole month, counted in full.
    """
    children = sum(count.children for count in samples)
    if children == 0:
        return None
    share = sum(count.with_line for count in samples) / children
    estimate = share * month_child_days
    cautions = []
    least = protocol.count("sample-least-line-days")
    if estimate < least:
        cautions.append(f"The unit has fewer than {least} line-days a month.")
    weekdays = {str(count.on.isoweekday()) for count in samples}
    if weekdays & protocol.words["no_sample_on"]:
        cautions.append("A sample was taken at a weekend.")
    if len(weekdays) > 1:
        cautions.append("The samples are not of one weekday.")
    return Sampled(share, estimate, tuple(cautions))


def sampling_barred(
    unit: str, months: Sequence[float], protocol: Protocol
) -> tuple[str, ...]:
    """Return why a unit may not estimate line-days from one day a week; () if it may.

    Parameters
    ----------
    unit
        "newborn", "specialty" or "other".
    months
        Full line-days of whole months; none: its size is not known.
    """
    found = []
    if unit in protocol.words["no_sample_units"]:
        found.append("Units of this kind must count every day.")
    least = protocol.count("sample-least-line-days")
    if not months:
        found.append(
            f"No whole month was counted, so it is not known whether the unit has "
            f"{least} line-days a month."
        )
    elif sum(months) / len(months) < least:
        found.append(f"The unit has fewer than {least} line-days a month.")
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Compared:
    """Electronic against manual line-days, month by month (%).

    ``may_replace`` is true once enough months in a row were near enough.
    """

    percent: tuple[float | None, ...]
    is_near: tuple[bool, ...]
    may_replace: bool


def compare_counts(
    months: Sequence[tuple[float, float]], protocol: Protocol
) -> Compared:
    """Return how far electronic counts lie from manual ones.

    Parameters
    ----------
    months
        Manual and electronic line-days of each month, in order.
    """
    limit = protocol.limits["counts-within-percent"]
    percent = [
        (electronic - manual) / manual * PERCENT if manual else None
        for manual, electronic in months
    ]
    near = [value is not None and abs(value) <= limit for value in percent]
    run = longest = 0
    for is_near in near:
        run = run + 1 if is_near else 0
        longest = max(longest, run)
    return Compared(
        tuple(percent), tuple(near), longest >= protocol.count("counts-months")
    )


def predicted_from_strata(
    strata: Iterable[tuple[float, float, float]],
) -> tuple[float, tuple[float, ...]]:
    """Return the events that reference rates predict, in all and for each stratum.

    Parameters
    ----------
    strata
        Own line-days, reference events, reference line-days of each stratum. Where
        the reference comes from is the user's to state; none is invented here.
    """
    each = tuple(days * events / reference for days, events, reference in strata)
    return sum(each), each
