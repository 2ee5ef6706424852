"""How long dressings really hold, group by group, with competing ends.

A dressing ends by failing, by its planned change, with its line, early for another
reason, or for a reason that nobody charted. Each is an end of its own; what would
follow if the last two had been failures is said beside the estimate.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lumenkeep.core.watch.spells import DressingSpell, End
from lumenkeep.core.watch.survival.competing import Clustered, cumulative_incidence
from lumenkeep.core.watch.survival.counted import Counted, Floats, Wholes, count
from lumenkeep.core.watch.survival.cox import CoxFit, cox
from lumenkeep.core.watch.survival.kaplan_meier import (
    Curve,
    Quantile,
    kaplan_meier,
    quantile,
)
from lumenkeep.core.watch.survival.limits import Estimate, log_log_limits
from lumenkeep.core.watch.survival.log_rank import GroupTest, compare_groups

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.watch.life_plan import LifePlan

CAUSES = (End.FAILED, End.PLANNED, End.LINE_OUT, End.EARLY, End.UNKNOWN)
"""Ends in the order of their numbers, from 1; still on is 0."""
NUMBER = {end: number for number, end in enumerate((End.STILL_ON, *CAUSES))}
PERHAPS_FAILED = (End.EARLY, End.UNKNOWN)
STEPS_A_DAY = 4


@dataclass(frozen=True, slots=True)
class OfHundred:
    """Of a hundred such dressings so many, from at least to at most so many."""

    value: int
    low: int
    high: int


def of_hundred(share: Estimate) -> OfHundred | None:
    """Return a share as whole dressings of a hundred; a limit above 0 never reads as 0."""
    if share.value is None or share.low is None or share.high is None:
        return None
    return OfHundred(
        round(share.value * 100),
        round(share.low * 100),
        max(round(share.high * 100), int(share.high > 0)),
    )


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """Shares that have ended by each way before a time (days), with limits of failing."""

    day: float
    failed: Estimate
    planned: float
    line_out: float
    at_risk: int


@dataclass(frozen=True, slots=True)
class GroupLife:
    """Dressings that have something in common.

    Attributes
    ----------
    key
        What they have in common; None where it is unknown.
    spells
        The dressings themselves, each with the entries it rests on.
    lines, children
        Of how many.
    ends
        How many ended in each way.
    horizon
        Until which day is asked.
    failed
        Share that failed before the horizon; its limits know that dressings of one
        child are alike. No value where too few were watched so long.
    watched_to, undecided
        When watching ended before the horizon: the day, and the share then still on.
    if_all_had_failed
        The same, had those changed early or for an uncharted reason failed too; None
        where there are none of them.
    half_life
        By when half had ended in any way.
    curve
        Every quarter of a day up to the horizon and a little beyond.
    """

    key: str | None
    spells: tuple[DressingSpell, ...]
    lines: int
    children: int
    ends: Mapping[End, int]
    horizon: float
    failed: Estimate
    watched_to: float
    undecided: float
    if_all_had_failed: Estimate | None
    half_life: Quantile
    curve: tuple[CurvePoint, ...]


@dataclass(frozen=True, slots=True)
class GroupComparison:
    """Whether groups fail at the same pace, by the test chosen beforehand.

    Attributes
    ----------
    keys
        Groups compared, the largest first: hazard ratios are against it.
    left_out
        Groups with too few dressings or failures to be compared, and the unknown one.
    test
        On failing alone: any other end takes a dressing out of the comparison.
    model
        Hazard ratios of the other groups against the first; their limits know that
        dressings of one child are alike, which the test does not.
    """

    keys: tuple[str, ...]
    left_out: tuple[str | None, ...]
    test: GroupTest
    model: CoxFit

    def differs(self, alarm: float) -> bool:
        """Return whether chance alone would seldom give this, whoever is asked.

        A difference that rests on few children is none, so it must hold by child too.
        """
        chances = (self.test.p_value, self.model.p_value)
        return all(p is not None and p < alarm for p in chances)


@dataclass(frozen=True, slots=True)
class _Arrays:
    """Spells as arrays: days, number of the end, and number of the child."""

    days: Floats
    ends: Wholes
    child: Wholes


def _arrays(spells: Sequence[DressingSpell]) -> _Arrays:
    numbers: dict[str, int] = {}
    days = np.array([spell.days for spell in spells])
    ends = np.array([NUMBER[spell.end] for spell in spells], dtype=np.int64)
    child = np.array(
        [numbers.setdefault(spell.child, len(numbers)) for spell in spells]
    )
    # In order, what is sorted again for every point of a curve is sorted fast.
    order = np.argsort(days, kind="stable")
    return _Arrays(days[order], ends[order], child[order])


def life_of(
    key: str | None, spells: Sequence[DressingSpell], horizon: float, plan: LifePlan
) -> GroupLife:
    """Return the life of one group of dressings; at least one.

    Parameters
    ----------
    key
        What they have in common.
    horizon
        Until which day is asked, above 0.
    plan
        Coverage of the limits, and how much may be undecided.
    """
    arrays = _arrays(spells)
    ends = Counter(spell.end for spell in spells)
    perhaps = None
    if any(ends[end] for end in PERHAPS_FAILED):
        as_failed = np.isin(arrays.ends, [NUMBER[end] for end in PERHAPS_FAILED])
        worst = _Arrays(arrays.days, np.where(as_failed, 1, arrays.ends), arrays.child)
        perhaps = _Failing(worst, plan).before(horizon)
    failing = _Failing(arrays, plan)
    last = float(failing.counted.times[-1])
    return GroupLife(
        key,
        tuple(spells),
        len({spell.line for spell in spells}),
        len({spell.child for spell in spells}),
        {end: ends[end] for end in End},
        horizon,
        failing.before(horizon),
        last,
        failing.undecided if horizon > last else 0.0,
        perhaps,
        quantile(failing.survival),
        _curve(failing, horizon, plan.level),
    )


class _Failing:
    """The share that has failed, with the wider of two kinds of limits.

    Clusters tell how alike the dressings of a child are, but with few children they
    tell it badly; the plain variance is then the greater one.
    """

    def __init__(self, arrays: _Arrays, plan: LifePlan) -> None:
        self.plan = plan
        self.counted: Counted = count(arrays.days, arrays.ends, len(CAUSES))
        self.survival = kaplan_meier(self.counted, plan.level)
        cause = NUMBER[End.FAILED]
        self.curve = cumulative_incidence(self.counted, cause, plan.level)
        self.by_child = Clustered(arrays.days, arrays.ends, arrays.child, cause)

    @property
    def undecided(self) -> float:
        """The share still on when watching ended."""
        return float(self.survival.value[-1])

    def before(self, day: float) -> Estimate:
        """Return the share that failed before a day."""
        found = self.curve.before(day)
        if found.value is None and self.undecided <= self.plan.most_undecided:
            return self._at_the_end()
        if found.value is None or not 0.0 < found.value < 1.0:
            return found
        return self._wider(found, day)

    def _wider(self, found: Estimate, day: float) -> Estimate:
        passed = int(np.searchsorted(self.counted.times, day, side="left"))
        by_child = self.by_child.variance_before(day)
        if found.value is None or by_child <= self.curve.variance[passed - 1]:
            return found
        low, high = log_log_limits(
            np.array([found.value]), np.array([by_child]), np.ones(1), self.plan.level
        )
        return Estimate(found.value, float(low[0]), float(high[0]), found.at_risk)

    def _at_the_end(self) -> Estimate:
        """Return what is known at the last time, the undecided in the upper limit."""
        last = float(np.nextafter(self.counted.times[-1], np.inf))
        share = float(self.curve.value[-1])
        known = Estimate(
            share, float(self.curve.low[-1]), float(self.curve.high[-1]), 0
        )
        if 0.0 < share < 1.0:
            known = self._wider(known, last)
        high = min(1.0, (known.high or 0.0) + self.undecided)
        return Estimate(share, known.low, high, 0)


def _curve(failing: _Failing, horizon: float, level: float) -> tuple[CurvePoint, ...]:
    """Return the shares every quarter of a day, as long as anything was watched."""
    counted = failing.counted
    planned = cumulative_incidence(counted, NUMBER[End.PLANNED], level)
    line_out = cumulative_incidence(counted, NUMBER[End.LINE_OUT], level)
    points = []
    for step in range(ceil(horizon * STEPS_A_DAY) + STEPS_A_DAY + 1):
        day = step / STEPS_A_DAY
        failed = failing.before(day)
        if failed.value is None:
            break
        points.append(
            CurvePoint(
                day,
                failed,
                _share_at(planned, day),
                _share_at(line_out, day),
                counted.still_at(day),
            )
        )
    return tuple(points)


def _share_at(curve: Curve, day: float) -> float:
    passed = int(np.searchsorted(curve.counted.times, day, side="left"))
    return float(curve.value[passed - 1]) if passed else 0.0


def compare_life(groups: Sequence[GroupLife], plan: LifePlan) -> GroupComparison | None:
    """Return how groups compare; None where there are no two to compare.

    Parameters
    ----------
    groups
        Of one split.
    plan
        Which test, and how few dressings or failures are too few.
    """
    enough = [group for group in groups if _is_enough(group, plan)]
    if len(enough) < 2:  # noqa: PLR2004  a comparison takes two
        return None
    enough.sort(key=lambda group: (-len(group.spells), str(group.key)))
    keys = tuple(str(group.key) for group in enough)
    days = np.array([spell.days for group in enough for spell in group.spells])
    failed = np.array(
        [spell.end is End.FAILED for group in enough for spell in group.spells]
    )
    number = np.repeat(np.arange(len(enough)), [len(group.spells) for group in enough])
    numbers: dict[str, int] = {}
    child = [
        numbers.setdefault(spell.child, len(numbers))
        for group in enough
        for spell in group.spells
    ]
    test = plan.test
    columns = number[:, None] == np.arange(1, len(enough))
    return GroupComparison(
        keys,
        tuple(group.key for group in groups if group not in enough),
        compare_groups(days, failed, number, test.weights, test.p, test.q),
        cox(days, failed, columns, keys[1:], level=plan.level, clusters=child),
    )


def _is_enough(group: GroupLife, plan: LifePlan) -> bool:
    return (
        group.key is not None
        and len(group.spells) >= plan.fewest_dressings
        and group.ends[End.FAILED] >= plan.fewest_failures
    )
