"""How long 200,000 dressings hold, beside a general package for survival.

Invented dressings of 20,000 children, from a fixed seed: some fail, most are changed as
planned, some come off with the line, a few are still on. Both programs get the same
arrays, and both answers are compared before any time is told. Once the times are as
charted, to the minute, so that many are equal; once every time is its own, which is the
most work, and the only way in which the package estimates competing ends without
shaking its data. Times are the least of some runs, by the wall, as ratios.

At the end the whole estimate as the page asks for it, from spells: groups by kind, with
limits that know which dressings belong to one child, curves, test and hazard ratios.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from time import perf_counter
from typing import TYPE_CHECKING, Any

import numpy as np

from lumenkeep.core.model.facts import NEVER_CHARTED
from lumenkeep.core.watch.dressing_life import CAUSES, NUMBER, compare_life, life_of
from lumenkeep.core.watch.life_splits import KIND, split_spells
from lumenkeep.core.watch.spells import DressingSpell, End
from lumenkeep.core.watch.survival.competing import cumulative_incidence
from lumenkeep.core.watch.survival.counted import count
from lumenkeep.core.watch.survival.cox import cox
from lumenkeep.core.watch.survival.kaplan_meier import kaplan_meier
from lumenkeep.core.watch.survival.log_rank import compare_groups
from lumenkeep.core.watch.survival.nelson_aalen import nelson_aalen
from lumenkeep.ward.outcomes.dressing_life import shipped_life_plan
from sizes import sized

if TYPE_CHECKING:
    from collections.abc import Callable

DRESSINGS, CHILDREN = sized(200_000, small=2_000), sized(20_000, small=200)
SEED = 20_261_125
KINDS = ("transparent", "transparent-chg-gel", "transparent-chg-disc", "gauze")
MINUTES_A_DAY = 1440
RUNS = sized(3, small=1)
BAR_S = 1.0
ALIKE = 1e-8
ALIKE_WHEN_FITTED = 1e-5
"""The package stops stepping sooner."""
FAILED = NUMBER[End.FAILED]


@dataclass
class Made:
    """Days, end and kind of each dressing, and whose it was."""

    days: Any
    ends: Any
    kind: Any
    child: Any


def made() -> Made:
    """Return the invented dressings, each time its own."""
    random = np.random.default_rng(SEED)
    child = random.integers(0, CHILDREN, DRESSINGS)
    kind = child % len(KINDS)
    frailty = random.gamma(2.0, 0.5, CHILDREN)[child]
    fails = random.exponential(14.0 / (frailty * (1.0 + 0.25 * kind)))
    planned = random.uniform(5.4, 7.0, DRESSINGS)
    line_out = random.exponential(45.0, DRESSINGS)
    still = random.exponential(90.0, DRESSINGS)
    days = np.minimum.reduce([fails, planned, line_out, still])
    ends = np.select(
        [days == fails, days == planned, days == line_out],
        [NUMBER[End.FAILED], NUMBER[End.PLANNED], NUMBER[End.LINE_OUT]],
        0,
    )
    return Made(days, ends, kind, child)


def to_the_minute(given: Made) -> Made:
    """Return the same as it would be charted."""
    days = np.maximum(np.rint(given.days * MINUTES_A_DAY), 1.0) / MINUTES_A_DAY
    return Made(days, given.ends, given.kind, given.child)


def least(work: Callable[[], Any]) -> tuple[float, Any]:
    """Return the least time of some runs (s), and the answer."""
    found, answer = float("inf"), None
    for _ in range(RUNS):
        start = perf_counter()
        answer = work()
        found = min(found, perf_counter() - start)
    return found, answer


def beside(
    name: str,
    ours: Callable[[], Any],
    theirs: Callable[[], Any],
    pairs: Callable[[Any, Any], list[tuple[Any, Any]]],
    alike: float = ALIKE,
) -> float:
    """Print both times and the greatest difference, and return ours."""
    our_time, our_answer = least(ours)
    their_time, their_answer = least(theirs)
    furthest = max(
        float(np.nanmax(np.abs(np.asarray(a) - np.asarray(b))))
        for a, b in pairs(our_answer, their_answer)
    )
    assert furthest < alike, f"{name}: the numbers differ by {furthest}"
    print(
        f"  {name:<34} {our_time:7.3f} s {their_time:8.3f} s "
        f"{their_time / our_time:7.1f} x   {furthest:.0e}"
    )
    return our_time


def compare(given: Made, *, has_ties: bool) -> None:
    """Print each estimate beside the package's."""
    import pandas
    from lifelines import (
        AalenJohansenFitter,
        CoxPHFitter,
        KaplanMeierFitter,
        NelsonAalenFitter,
    )
    from lifelines.statistics import multivariate_logrank_test

    days, ends, failed = given.days, given.ends, given.ends == FAILED
    total = beside(
        "Kaplan-Meier with limits",
        lambda: kaplan_meier(count(days, ends)),
        lambda: KaplanMeierFitter().fit(days, ends > 0),
        lambda a, b: [
            (a.value, b.survival_function_.iloc[1:, 0]),
            (a.low[:-1], b.confidence_interval_.iloc[1:-1, 0]),
            (a.high[:-1], b.confidence_interval_.iloc[1:-1, 1]),
        ],
    )
    total += beside(
        "Nelson-Aalen of failing",
        lambda: nelson_aalen(count(days, ends), FAILED),
        lambda: NelsonAalenFitter(nelson_aalen_smoothing=False).fit(days, failed),
        lambda a, b: [(a.value, b.cumulative_hazard_.iloc[1:, 0])],
    )
    if not has_ties:
        total += beside(
            "Aalen-Johansen with limits",
            lambda: cumulative_incidence(count(days, ends), FAILED),
            lambda: AalenJohansenFitter().fit(days, ends, FAILED),
            lambda a, b: [
                (a.value, b.cumulative_density_.iloc[1:, 0]),
                (a.variance, b.variance_.iloc[1:]),
            ],
        )
    total += beside(
        "log-rank test of four kinds",
        lambda: compare_groups(days, failed, given.kind),
        lambda: multivariate_logrank_test(days, given.kind, failed),
        lambda a, b: [(a.chi_square / b.test_statistic, 1.0)],
    )
    columns = (given.kind[:, None] == np.arange(1, len(KINDS))).astype(float)
    frame = pandas.DataFrame(columns, columns=list(KINDS[1:]))
    frame["days"], frame["failed"] = days, failed
    total += beside(
        "Cox's model, three ratios (Efron)",
        lambda: cox(days, failed, columns, KINDS[1:]),
        lambda: CoxPHFitter().fit(frame, "days", "failed"),
        lambda a, b: [
            ([e.log_ratio for e in a.effects], b.params_),
            ([e.se for e in a.effects], b.standard_errors_),
        ],
        ALIKE_WHEN_FITTED,
    )
    print(f"  {'together':<34} {total:7.3f} s")


def spells(given: Made) -> list[DressingSpell]:
    """Return the same dressings as the page has them."""
    ends = (End.STILL_ON, *CAUSES)
    start = datetime(2026, 1, 1, tzinfo=UTC)
    return [
        DressingSpell(
            f"c-{child}", f"l-{child}", KINDS[kind], "chest", "picc", "heron",
            NEVER_CHARTED, start, start + timedelta(days=float(days)), ends[end],
        )
        for days, end, kind, child in zip(
            given.days, given.ends, given.kind, given.child, strict=True
        )
    ]  # fmt: skip


def whole(given: Made) -> None:
    """Print the time of all that the page asks for."""
    made_spells, plan = spells(given), shipped_life_plan()

    def work() -> tuple[list[Any], Any]:
        groups = [
            life_of(kind, members, plan.horizon(kind), plan)
            for kind, members in split_spells(made_spells, KIND, plan, {}).items()
        ]
        return groups, compare_life(groups, plan)

    took, (groups, _) = least(work)
    print(f"  groups, curves, limits by child, test, ratios: {took:.2f} s")
    for group in groups:
        share = group.failed
        print(
            f"    {group.key:<22} {len(group.spells):>7,}: {share.value:.4f} "
            f"({share.low:.4f} to {share.high:.4f}) before day {group.horizon:g}"
        )


def main() -> None:
    """Print the table."""
    warnings.simplefilter("ignore")
    given = made()
    charted = to_the_minute(given)
    took, _ = least(
        lambda: cumulative_incidence(count(charted.days, charted.ends), FAILED)
    )
    print(
        f"{DRESSINGS:,} dressings, failed with limits at every minute: "
        f"{took:.3f} s (bar {BAR_S:g} s)"
    )
    heads = f"  {'':<34} {'ours':>9} {'lifelines':>10} {'ratio':>9}   differ by"
    for name, data, has_ties in (
        ("charted to the minute", charted, True),
        ("every time its own", given, False),
    ):
        print(f"{name}, {len(np.unique(data.days)):,} distinct times\n{heads}")
        compare(data, has_ties=has_ties)
    print("the whole estimate from spells, by kind")
    whole(charted)


if __name__ == "__main__":
    main()
