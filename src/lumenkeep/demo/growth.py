"""Plausible weights: what an invented child of an age weighs, and weighed before."""

from __future__ import annotations

from datetime import datetime, timedelta
from math import exp, pi, sin
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from random import Random

BIRTH_WEIGHTS_G = {
    23: 580, 24: 660, 25: 760, 26: 870, 27: 990, 28: 1120, 29: 1270, 30: 1430,
    31: 1610, 32: 1800, 33: 2000, 34: 2230, 35: 2480, 36: 2740, 37: 2980,
    38: 3190, 39: 3350, 40: 3480, 41: 3590,
}  # fmt: skip
"""Rounded middle weights by completed weeks; made up to look right, cited nowhere."""

DAY = timedelta(days=1)
REGAINED_BY_DAY = 12
EARLY_LOSS = 0.08
BABY_GAIN_A_DAY = 0.013
DAYS_AS_A_BABY = 120
SCHOOL_AGE_YEARS = 6
SMALL_SCALE_G = 10_000


def weight_of_age(rng: Random, age_days: float, weeks: int = 39) -> float:
    """Return a weight in grams for an age in days and completed weeks at birth."""
    spread = rng.uniform(0.88, 1.13)
    if age_days < DAYS_AS_A_BABY:
        gained = exp(BABY_GAIN_A_DAY * max(0.0, age_days - REGAINED_BY_DAY) * 0.7)
        return rounded(BIRTH_WEIGHTS_G[weeks] * spread * gained)
    years = age_days / 365.25
    if years < 1:
        kilograms = 3.5 + 6.5 * years**0.7
    elif years < SCHOOL_AGE_YEARS:
        kilograms = 8 + 2 * years
    else:
        kilograms = min(3 * years + 3, 58.0)
    return rounded(kilograms * 1000 * spread)


def weight_before(now_g: float, age_days: float, days_before: float) -> float:
    """Return the weight in grams some days before, given what the child weighs now."""
    if age_days > DAYS_AS_A_BABY:
        return rounded(now_g * (1 - 0.0003 * days_before))
    then = age_days - days_before
    at_gain = now_g * exp(
        -BABY_GAIN_A_DAY * max(0.0, age_days - max(then, REGAINED_BY_DAY))
    )
    if then >= REGAINED_BY_DAY:
        return rounded(at_gain)
    dip = 1 - EARLY_LOSS * sin(pi * max(then, 0.0) / REGAINED_BY_DAY)
    if age_days >= REGAINED_BY_DAY:
        return rounded(at_gain * dip)
    return rounded(
        now_g * dip / (1 - EARLY_LOSS * sin(pi * age_days / REGAINED_BY_DAY))
    )


def weighings(
    rng: Random, start: datetime, now: datetime, every_days: int
) -> list[datetime]:
    """Return the instants of weighing, at about six in the morning by UTC noon."""
    at = now.replace(hour=12, minute=0, second=0, microsecond=0)
    if at > now:
        at -= DAY
    found = []
    while at > start:
        found.append(at - timedelta(minutes=rng.randint(0, 50)))
        at -= DAY * every_days
    return [at for at in reversed(found) if at > start]


def rounded(grams: float) -> float:
    """Return a weight as a scale of that size shows it (grams)."""
    step = 5 if grams < SMALL_SCALE_G else 100
    return float(round(grams / step) * step)
