"""Judge a mass where it is typed: one that cannot be, and one to ask back once.

There are no offline numbers to prepare: the bounds at the child's age, the last weighing
and the change within a week that is believed unasked are all there is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.watch.length_typed import slips
from lumenkeep.core.watch.typed_words import TYPED_MASS, mass_words, written

if TYPE_CHECKING:
    from datetime import datetime, tzinfo

    from lumenkeep.core.model import Weight

WEEK_DAYS = 7
PERCENT = 100
THOUSAND = 1000


@dataclass(frozen=True, slots=True)
class TypedMass:
    """What a typed mass is: "impossible", "unlikely" or "fine", the words, what was meant.

    ``suggests_g`` is None where no slip of the pen explains it.
    """

    state: str
    says: str = ""
    suggests_g: float | None = None


def judge_typed_mass(
    typed_g: float,
    at: datetime,
    last: Weight | None,
    bounds: tuple[float, float],
    week_percent: tuple[float, float],
    zone: tzinfo,
) -> TypedMass:
    """Return what a mass is that somebody has just typed.

    Parameters
    ----------
    typed_g
        As typed (g).
    at
        When the child was weighed (UTC).
    last
        The weighing before; None where there is none.
    bounds
        The least and the greatest that a child of this age can weigh (g).
    week_percent
        What a mass is a week later at the least and at the most (percent of the last);
        longer ago, as much more. Beyond it is asked back.
    zone
        The ward's zone, for the day of the last weighing.
    """
    near = _near(at, last, bounds, week_percent)
    meant = None
    if last is not None:
        units = (written(typed_g * THOUSAND), written(typed_g / THOUSAND))
        tried = (*units, *slips(typed_g))
        meant = next((g for g in tried if near[0] <= g <= near[1]), None)
    low, high = bounds
    if not low <= typed_g <= high:
        state = "impossible"
    elif last is None or near[0] <= typed_g <= near[1]:
        return TypedMass("fine")
    else:
        state = "unlikely"
    day = "" if last is None else f"{last.at.astimezone(zone):%-d %b}"
    says = TYPED_MASS[state].format(
        grams=mass_words(typed_g),
        low=mass_words(low),
        high=mass_words(high),
        last="" if last is None else mass_words(last.grams),
        day=day,
    )
    if meant is not None:
        says += " " + TYPED_MASS["suggest"].format(suggest=mass_words(meant))
    return TypedMass(state, says, meant)


def _near(
    at: datetime,
    last: Weight | None,
    bounds: tuple[float, float],
    week_percent: tuple[float, float],
) -> tuple[float, float]:
    """Return between what the mass is believed unasked (g)."""
    low, high = bounds
    if last is None:
        return low, high
    weeks = max(1.0, abs((at - last.at).total_seconds()) / 86_400 / WEEK_DAYS)
    down, up = (1 + (share / PERCENT - 1) * weeks for share in week_percent)
    return max(low, last.grams * down), min(high, last.grams * up)
