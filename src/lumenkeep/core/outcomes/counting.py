"""What is made of the days counted: use, estimates from samples, hand beside chart.

The days themselves are counted in `daily_count`. Their line-days start when a line is
present in the unit, accessed or not; the count for eligibility (`line_days`) starts at
first access.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lumenkeep.core.outcomes.protocol import Protocol

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
