"""The charts of a ward's infections: by period, between infections, and summed up.

Which one to look at depends on how rare infections are. Each says in one sentence what
it shows, and what its signals cost in false alarms.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.statistics.charts import (
    ControlChart,
    probability_limits,
    u_chart,
)
from lumenkeep.core.outcomes.statistics.cusum import (
    SumPath,
    poisson_cusum,
    poisson_cusum_run_length,
)
from lumenkeep.core.outcomes.statistics.dispersion import varies_more_than_chance
from lumenkeep.core.outcomes.statistics.rare_events import GapChart, g_chart
from lumenkeep.core.outcomes.statistics.run_rules import (
    BEYOND_3,
    ONE_SIDE,
    USUAL_RUN,
    average_run_length,
    false_signal_chance,
    signals,
)
from lumenkeep.ward.outcomes.figures import Period, PeriodRow, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.ward.outcomes.figures import UsedDay

PER, PERCENT = 1000.0, 100.0
FEWEST_PERIODS, FEWEST_GAPS = 2, 2
RARE_BELOW = 1.0
"""Infections a period below which the chart by period says little."""
RATIO_SOUGHT, LIMIT = 2.0, 2.0
"""What the running sum looks for, and where it signals: a choice whose cost is said."""
RULES = (BEYOND_3, ONE_SIDE)
FEWEST_FOR_RUNS = 5.0
"""Infections a period from which a run on one side of the mean is no usual thing."""


@dataclass(frozen=True, slots=True)
class RateChart:
    """Rates by period about their mean, in infections per line-day.

    Attributes
    ----------
    rows
        The periods drawn: those with line-days.
    signals
        Number (from 1) and run rule of each signal of a run.
    is_rare
        Whether infections are too few for this chart to say much.
    limits, cost
        Which limits were used; what their signals cost in false alarms.
    """

    unit: str
    chart: ControlChart
    rows: tuple[PeriodRow, ...]
    signals: tuple[tuple[int, str], ...]
    false_signal_every: float
    is_widened: bool
    is_rare: bool
    words: str
    limits: str
    cost: str


def rate_chart(rows: Sequence[PeriodRow], unit: str) -> RateChart | None:
    """Return the chart of rates by period; None with fewer than two periods.

    Periods without line-days have no rate and are left out here.
    """
    rows = [row for row in rows if row.line_days]
    if len(rows) < FEWEST_PERIODS:
        return None
    counts = [float(row.events) for row in rows]
    units = [float(row.line_days) for row in rows]
    plain, widened = u_chart(counts, units), u_chart(counts, units, laney=True)
    is_widened = widened.sigma_z > 1 and varies_more_than_chance(counts, units)
    chart = widened if is_widened else probability_limits(plain, units)
    z = [
        (p.value - chart.centre) / (chart.centre / n) ** 0.5 if chart.centre else 0.0
        for p, n in zip(chart.points, units, strict=True)
    ]
    mean = sum(counts) / len(counts)
    rules = RULES if mean >= FEWEST_FOR_RUNS else RULES[:1]
    runs = signals(z, rules[1:]) if rules[1:] else ()
    return RateChart(
        unit,
        chart,
        tuple(rows),
        runs,
        average_run_length(rules),
        is_widened,
        mean < RARE_BELOW,
        _rate_words(chart, rows, runs, unit),
        _limits_words(widened.sigma_z, is_widened=is_widened),
        _cost_words(len(rows), unit, rules),
    )


def _rate_words(
    chart: ControlChart,
    rows: Sequence[PeriodRow],
    runs: Sequence[tuple[int, str]],
    unit: str,
) -> str:
    told = []
    labelled = list(zip(chart.points, rows, strict=True))
    if high := [row.period.label for p, row in labelled if p.value > p.high]:
        told.append(f"more infections than chance explains in {', '.join(high)}")
    if low := [row.period.label for p, row in labelled if p.value < p.low]:
        told.append(f"fewer than chance explains in {', '.join(low)}")
    if runs:
        last = rows[runs[-1][0] - 1].period.label
        told.append(
            f"{USUAL_RUN} {unit}s in a row on one side of the mean, up to {last}"
        )
    if told:
        sentence = "; ".join(told)
        return sentence[0].upper() + sentence[1:] + "."
    return f"No {unit} stands out from what chance alone does."


def _limits_words(sigma: float, *, is_widened: bool) -> str:
    if is_widened:
        return (
            f"The periods vary more than chance, so the limits are widened {sigma:.2f} "
            f"times (three sigma, after Laney)."
        )
    return (
        "Limits by chance alone (Poisson): at most one point in 370 lies outside them "
        "while nothing changes."
    )


def _cost_words(points: int, unit: str, rules: Sequence[str]) -> str:
    length = average_run_length(rules)
    alone = false_signal_chance(points)
    if ONE_SIDE not in rules:
        return (
            f"At least one of {points} {unit}s does so by chance in {alone * PERCENT:.0f} % of such "
            f"charts at most. Runs of {unit}s on one side of the mean are not read as "
            f"signals: below {FEWEST_FOR_RUNS:g} infections a {unit} chance makes them."
        )
    chance = 1.0 - (1.0 - 1.0 / length) ** points
    return (
        f"A point beyond the limits, or {USUAL_RUN} in a row on one side: on a ward "
        f"where nothing changes these give a false signal about every {length:.0f} "
        f"{unit}s, and at least one among {points} with a chance near {chance * PERCENT:.0f} % "
        f"(the limits alone {alone * PERCENT:.0f} %)."
    )


@dataclass(frozen=True, slots=True)
class Gap:
    """Line-days from one infection to the next."""

    after: date
    until: date
    line_days: int
    key: str


@dataclass(frozen=True, slots=True)
class BetweenChart:
    """Line-days between infections; ``since`` counts on from the last one.

    ``limits`` is None with too few gaps.
    """

    gaps: tuple[Gap, ...]
    since: int
    since_on: date | None
    limits: GapChart | None
    words: str
    cost: str


def between_chart(row: PeriodRow, days: Sequence[UsedDay]) -> BetweenChart:
    """Return the chart of line-days between infections.

    The time before the first infection is no gap: nobody knows when it began.
    """
    events = sorted(row.infections, key=lambda i: (i.on, i.key))
    sums, total = {}, 0
    for day in days:
        total += day.count.with_line if day.count is not None else 0
        sums[day.on] = total
    gaps = tuple(
        Gap(a.on, b.on, sums[b.on] - sums[a.on], b.key) for a, b in pairwise(events)
    )
    last = events[-1].on if events else None
    since = total - (sums[last] if last else 0)
    limits = (
        g_chart([float(gap.line_days) for gap in gaps])
        if len(gaps) >= FEWEST_GAPS
        else None
    )
    return BetweenChart(
        gaps, since, last, limits, _between_words(gaps, since, last, limits), _G_COST
    )


_G_COST = (
    "This chart is for rare infections and shows that things got better; its lower "
    "limit is nearly 0, so it cannot show that they got worse: the running sum can. "
    "Limits by chance alone (geometric): at most one gap in 370 lies outside them while "
    "nothing changes."
)


def _between_words(
    gaps: Sequence[Gap], since: int, last: date | None, limits: GapChart | None
) -> str:
    if last is None:
        return f"No infection in {since:,} line-days."
    now = f"{since:,} line-days since the last infection"
    if limits is None:
        return f"{now}; too few infections for limits."
    middle, high = limits.probability[1], limits.probability[-1]
    usual = f"half of the gaps would be longer than {middle:,} by chance"
    if since > high:
        return f"{now}: longer than chance explains (above {high:,}); {usual}."
    short = "no gap stands out"
    long = [gap for gap in gaps if gap.line_days > high]
    if long:
        short = f"{len(long)} of {len(gaps)} gaps longer than chance explains"
    return f"{now}; {short}; {usual}."


@dataclass(frozen=True, slots=True)
class RunningSum:
    """Evidence for a doubling of the rate, summed up period by period.

    ``cost`` says how often it signals falsely, and whose rate it is measured against.
    """

    periods: tuple[Period, ...]
    path: SumPath
    limit: float
    false_signal_every: float
    expected_rate: float
    words: str
    cost: str


def running_sum(
    rows: Sequence[PeriodRow], unit: str, expected_rate: float, expected: str
) -> RunningSum | None:
    """Return the running sum; None without line-days or an expected rate.

    Parameters
    ----------
    expected_rate
        Infections per 1000 line-days that are taken as usual.
    expected
        Where that rate comes from, to be said.
    """
    rows = [row for row in rows if row.line_days]
    if not rows or expected_rate <= 0:
        return None
    means = [expected_rate * row.line_days / PER for row in rows]
    path = poisson_cusum([row.events for row in rows], means, RATIO_SOUGHT, LIMIT)
    usual = sum(means) / len(means)
    idle = poisson_cusum_run_length(usual, RATIO_SOUGHT, LIMIT)
    found = poisson_cusum_run_length(usual, RATIO_SOUGHT, LIMIT, actual=RATIO_SOUGHT)
    if path.signal is None:
        words = (
            f"No sign that infections have doubled from {shown(expected_rate)} per "
            "1000 line-days."
        )
    else:
        words = (
            f"In {rows[path.signal - 1].period.label} the infections added up to a "
            f"sign that the rate has doubled from {shown(expected_rate)} per 1000."
        )
    cost = (
        f"On a ward where nothing changes it signals falsely about every {idle:.0f} "
        f"{unit}s; after a real doubling it takes about {found:.0f}. Measured against "
        f"{expected}."
    )
    return RunningSum(
        tuple(row.period for row in rows), path, LIMIT, idle, expected_rate, words, cost
    )
