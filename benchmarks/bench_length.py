"""How often the length watch cries wolf, and how soon it finds a line that has moved.

Invented lines from a fixed seed, measured as the demo hospital's policy says that lengths
are: its error, whole millimetres, the arm always at the side or anyhow, with what another
position adds to that line. Each line is judged at every length by the product's own
watch. *Still* lines never move: of 100, how many are called moved by the 5th, 10th and
28th length, and how many measurements ask for a second one. *Moved* lines shift once,
after five lengths: of 100, how many are called by the first, second, third and sixth
length after it, and of how many the first at least asks for a second. At the end a shift
of 10 mm after one, two, three and four lengths.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from time import perf_counter

import numpy as np
from numpy.random import Generator

from lumenkeep.core.model import Case, Child, Line, Weight
from lumenkeep.core.policy import Situation, load_policy
from lumenkeep.core.watch.length import LengthRules, Measured, judge_each
from lumenkeep.core.watch.length_rules import length_rules
from sizes import sized

LINES = sized(2_000, small=20)
SEED = 20_261_130
START = datetime(2026, 11, 1, tzinfo=UTC)
DAYS = [START + timedelta(days=day) for day in range(28)]
MASSES_KG = (1, 3, 9, 20)
SHIFTS_MM = (5, 10, 15)
BY = (5, 10, 28)
AFTER = (1, 2, 3, 6)
BEFORE = 5
LAST = "| by the 1st at least asked back"
ARMS = ("at the side", "away from the body", "bent")


@dataclass
class Lines:
    """How lines are measured: by what rules, and whether the arm varies."""

    rules: LengthRules
    varies: bool
    rng: Generator

    def judged(self, count: int, shift_mm: float = 0, before: int = 0) -> list[str]:
        """Return what is said at each length of one line."""
        error, rng = self.rules.error, self.rng
        assert error is not None
        arms = rng.integers(0, len(ARMS), count) if self.varies else [0] * count
        added = rng.normal(0, error.other_arm_sd, len(ARMS))
        added[arms[0]] = 0
        true = (
            rng.uniform(10, 60)
            + added[arms]
            + np.where(np.arange(count) >= before, shift_mm, 0)
        )
        read = np.round(true + rng.normal(0, error.sd, count))
        rows = [
            Measured(n, DAYS[n], float(read[n]), ARMS[arms[n]]) for n in range(count)
        ]
        return [one.state for one in judge_each(rows, self.rules)]


def rules_of(mass_kg: float) -> LengthRules:
    """Return what the policy says of a line in an upper arm of a child so heavy."""
    child = Child(weights=(Weight(START, mass_kg * 1000),))
    case = Case(child, Line(site="upper-arm"))
    return length_rules(
        load_policy("quillmere").on(START.date()), Situation(case, START)
    )


def still(lines: Lines) -> str:
    """Return the share of still lines called moved, and of measurements that ask."""
    called = dict.fromkeys(BY, 0)
    asked = 0
    for _ in range(LINES):
        said = lines.judged(max(BY))
        asked += said.count("measure-again")
        for by in BY:
            called[by] += "moved" in said[:by]
    shares = "".join(f"{100 * n / LINES:8.2f}" for n in called.values())
    return f"{shares}{100 * asked / LINES / (max(BY) - 1):10.1f}"


def found(lines: Lines, shift_mm: float, before: int = BEFORE) -> str:
    """Return the share of moved lines called so by each length after the shift.

    And last the share of which the first such length at least asks for a second.
    """
    called = dict.fromkeys(AFTER, 0)
    asked = 0
    for _ in range(LINES):
        said = lines.judged(before + max(AFTER), shift_mm, before)
        asked += said[before] != "no-shift-shown"
        for after in AFTER:
            called[after] += "moved" in said[before : before + after]
    shares = "".join(f"{100 * n / LINES:8.1f}" for n in called.values())
    return f"{shares}{100 * asked / LINES:10.1f}"


def main() -> None:
    """Print the tables."""
    begun = perf_counter()
    print(f"{LINES:,} lines a row; of 100 lines")
    print("\nstill lines: called moved by length", *BY, "| of 100 lengths, ask again")
    plans = [
        (
            kg,
            varies,
            Lines(rules_of(kg), varies, np.random.default_rng([SEED, kg, varies])),
        )
        for kg in MASSES_KG
        for varies in (False, True)
    ]
    for kg, varies, lines in plans:
        print(f"{kg:4} kg  arm {_arm(varies)}{still(lines)}")
    print(f"\nmoved after {BEFORE} lengths: called by length", *AFTER, "after it", LAST)
    for shift in SHIFTS_MM:
        for kg, varies, lines in plans:
            print(f"{shift:4} mm {kg:4} kg  arm {_arm(varies)}{found(lines, shift)}")
    print("\nmoved by 10 mm, arm alike: called by length", *AFTER, "after it", LAST)
    for before in (1, 2, 3, 4):
        _, _, lines = plans[0]
        print(
            f"  after {before} length{'s' * (before > 1):1}   {found(lines, 10, before)}"
        )
    print(f"\n{perf_counter() - begun:.0f} s")


def _arm(varies: bool) -> str:  # noqa: FBT001  a column
    return "varies  " if varies else "constant"


if __name__ == "__main__":
    main()
