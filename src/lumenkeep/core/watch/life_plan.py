"""How dressing life is counted and compared, as written down before anybody looked."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from lumenkeep.core.watch.spells import FailureWords


@dataclass(frozen=True, slots=True)
class ChosenTest:
    """The test that was chosen, and why."""

    weights: str
    p: float
    q: float
    because: str
    alarm: float


@dataclass(frozen=True, slots=True)
class LifePlan:
    """The method of a dressing-life estimate.

    Attributes
    ----------
    written_on
        The day it was written down.
    words
        What counts as a failure.
    usual_horizon, horizons
        Until which day one asks, and by kind of dressing where it differs (days).
    test
        How groups are compared.
    level
        Coverage of limits.
    fewest_dressings, fewest_failures
        A group with fewer is shown but not compared.
    most_undecided
        Up to which share may be undecided when watching ends before the horizon.
    ages
        First day of age and label of each band, youngest first.
    seasons
        Label by month, 1 to 12.
    """

    written_on: date
    words: FailureWords
    usual_horizon: float
    horizons: Mapping[str, float]
    test: ChosenTest
    level: float
    fewest_dressings: int
    fewest_failures: int
    most_undecided: float
    ages: tuple[tuple[float, str], ...]
    seasons: Mapping[int, str]

    def horizon(self, kind: str | None = None) -> float:
        """Return until which day one asks of a kind of dressing."""
        return self.horizons.get(kind or "", self.usual_horizon)

    def age_band(self, days: float) -> str:
        """Return the label of the band in which an age lies (days, 0 or more)."""
        place = bisect_right([start for start, _ in self.ages], days) - 1
        return self.ages[max(place, 0)][1]


def life_plan(tables: Mapping[str, Any]) -> LifePlan:
    """Return the plan that a file holds.

    Raises
    ------
    KeyError, ValueError
        It does not hold together: it is shipped with the program, so this is a slip of
        ours and a test finds it.
    """
    for name in ("plan", "failure", "horizon", "test", "limits"):
        if tables[name]["source"] not in tables["source"]:
            raise ValueError(f"[{name}] names no source")
    horizon = dict(tables["horizon"])
    if horizon.pop("unit") != "days":
        raise ValueError("a horizon is in days")
    horizon.pop("source")
    failure, test, limits = tables["failure"], tables["test"], tables["limits"]
    ages = tuple((float(row["from_days"]), row["label"]) for row in tables["age"])
    seasons = {
        month: row["label"] for row in tables["season"] for month in row["months"]
    }
    if list(ages) != sorted(ages) or ages[0][0] > 0:
        raise ValueError("age bands must begin at 0 and rise")
    if len(seasons) != len([m for row in tables["season"] for m in row["months"]]):
        raise ValueError("a month lies in two seasons")
    return LifePlan(
        tables["plan"]["written_on"],
        FailureWords(frozenset(failure["found"]), frozenset(failure["changed"])),
        float(horizon.pop("usual")),
        {kind: float(days) for kind, days in horizon.items()},
        ChosenTest(
            test["weights"], test["p"], test["q"], test["because"], test["alarm"]
        ),
        limits["level"],
        limits["fewest_dressings"],
        limits["fewest_failures"],
        limits["most_undecided"],
        ages,
        seasons,
    )
