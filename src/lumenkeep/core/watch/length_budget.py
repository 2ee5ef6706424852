"""Share the false alarms that a policy allows between the ways a line is called moved.

Of still lines at most ``false_alarm`` may be called moved within ``over`` measurements.
First the policy's limits take what they cost (`still_rate`, exact). What they leave is
spent, by the union bound, on

* *too large*: a single length so far from those before it that no error of measuring
  explains it, one test a measurement;
* *second*: the mean of the last two lengths against those before them, one test a
  measurement from the third on;
* *lengths*: the evidence of all of them, once for ever (Ville's inequality).

The rest is left over for rounding: lengths are charted in whole millimetres, which adds
a little to the policy's error where that does not count it already. Everything is
computed from the normal distribution; nothing is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import inf
from statistics import NormalDist
from typing import TYPE_CHECKING

from lumenkeep.core.policy.still_lines import LIMITS_SHARE, still_rate

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.watch.length_values import LengthRules, Limit

TOO_LARGE_SHARE, SECOND_SHARE, LENGTHS_SHARE = 0.36, 0.34, 0.12
"""Of what the limits leave; the rest stays unspent."""
LOOKS = 3
"""How many comparisons of one measurement may ask for a second one."""
TWO_SIDED = 2


@dataclass(frozen=True, slots=True)
class Budget:
    """What a length must reach; scores in standard deviations of a difference.

    Attributes
    ----------
    limits
        Ids of the policy's limits that may call a line moved at once; any other only
        asks for a second measurement.
    too_large, second
        Scores from which one length, and the mean of two, call it moved.
    ratio
        Evidence from which all lengths together do.
    asks
        Score from which a second measurement is asked for.
    """

    limits: frozenset[str]
    too_large: float = inf
    second: float = inf
    ratio: float = inf
    asks: float = inf


@lru_cache(maxsize=256)
def budget_of(rules: LengthRules) -> Budget:
    """Return what a line's lengths must reach so that the policy's promise is kept."""
    every = frozenset(limit.rule for limit in rules.limits)
    if rules.error is None:
        return Budget(every)
    if rules.over is None:
        return Budget(every, ratio=1 / rules.false_alarm)
    over = max(rules.over, TWO_SIDED)
    counted, cost = _limits_that_fit(rules, over)
    left = rules.false_alarm - cost
    return Budget(
        limits=counted,
        too_large=_score(left * TOO_LARGE_SHARE / (over - 1)),
        second=_score(left * SECOND_SHARE / max(over - TWO_SIDED, 1)),
        ratio=1 / (left * LENGTHS_SHARE),
        asks=_score(rules.asks / LOOKS) if rules.asks else inf,
    )


def _limits_that_fit(rules: LengthRules, over: int) -> tuple[frozenset[str], float]:
    """Return the limits that keep within their share, widest first, and their cost."""
    counted: list[Limit] = []
    cost = 0.0
    for limit in sorted(rules.limits, key=lambda one: -one.mm):
        rate = _rate([*counted, limit], rules, over)
        if rate <= rules.false_alarm * LIMITS_SHARE:
            counted.append(limit)
            cost = rate
    return frozenset(limit.rule for limit in counted), cost


def _rate(limits: Iterable[Limit], rules: LengthRules, over: int) -> float:
    assert rules.error is not None  # noqa: S101  without an error there is no rate
    reach = {"outward": inf, "inward": inf}
    for limit in limits:
        for way, so_far in reach.items():
            if limit.direction in (way, "either"):
                reach[way] = min(so_far, limit.mm)
    return still_rate(reach["outward"], reach["inward"], rules.error.sd, over)


def _score(chance: float) -> float:
    """Return the score that a normal deviate passes, either way, with this chance."""
    return NormalDist().inv_cdf(1 - chance / TWO_SIDED)
