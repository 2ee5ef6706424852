"""Where an axis is marked: round numbers, round dates, and labels that do not touch."""

from __future__ import annotations

from datetime import date
from math import ceil, floor, log10
from typing import TYPE_CHECKING

from lumenkeep.drawing.sheet import text_width

if TYPE_CHECKING:
    from collections.abc import Sequence

ROUND_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
ALMOST = 1e-9
MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120)
DAY_STEPS = (1, 2, 7, 14)
DAYS_A_MONTH = 30.4
MONTHS_A_YEAR = 12
GAP = 12.0
MOST_DECADES = 9


def round_ticks(low: float, high: float, about: int) -> tuple[float, ...]:
    """Return round numbers from below ``low`` to above ``high``, about so many."""
    if high <= low:
        high = low + 1.0
    rough = (high - low) / max(1, about)
    power = 10.0 ** floor(log10(rough))
    step = next(s for s in ROUND_STEPS if s * power >= rough * (1.0 - ALMOST)) * power
    first, last = floor(low / step + ALMOST), ceil(high / step - ALMOST)
    return tuple(round(n * step, 10) for n in range(first, last + 1))


def stretched_ticks(high: float) -> tuple[float, ...]:
    """Return 0 and 1, 2, 5, 10 and so on up to the first at or above ``high``."""
    found = [0.0]
    for power in range(MOST_DECADES):
        for step in (1.0, 2.0, 5.0):
            found.append(step * 10.0**power)
            if found[-1] >= high:
                return tuple(found)
    return tuple(found)


def tick_text(value: float, ticks: Sequence[float]) -> str:
    """Return a tick's number with the decimals that its axis needs."""
    decimals = max(len(f"{tick:.6f}".rstrip("0").partition(".")[2]) for tick in ticks)
    return f"{value:,.{decimals}f}".replace("-", "−")


def thinned(labels: Sequence[str], spacing: float) -> tuple[int, ...]:
    """Return the indexes of labels that fit where one point takes ``spacing``."""
    widest = max((text_width(label) for label in labels), default=0.0) + GAP
    step = max(1, ceil(widest / spacing)) if spacing > 0 else max(1, len(labels))
    return tuple(range(0, len(labels), step))


def date_ticks(first: date, last: date, about: int) -> tuple[tuple[date, str], ...]:
    """Return round days between two, with a label each, at most about so many."""
    days = max(1, (last - first).days)
    for step in DAY_STEPS:
        if days / step <= about:
            return tuple(
                (date.fromordinal(n), day_text(date.fromordinal(n)))
                for n in range(first.toordinal(), last.toordinal() + 1, step)
            )
    months = next(
        (s for s in MONTH_STEPS if days / DAYS_A_MONTH / s <= about), MONTH_STEPS[-1]
    )
    found = []
    number = first.year * MONTHS_A_YEAR + first.month - 1
    number += -number % months
    while (day := date(number // MONTHS_A_YEAR, number % MONTHS_A_YEAR + 1, 1)) <= last:
        if day >= first:
            found.append((day, f"{day:%b %Y}"))
        number += months
    return tuple(found)


def day_text(day: date) -> str:
    """Return a day without its year: "5 Mar"."""
    return f"{day.day} {day:%b}"
