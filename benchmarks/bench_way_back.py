"""The whole table of ways back for the longest procedures, and their fewest spares.

Each run starts with nothing kept. The time is of this process alone, so that other
work on the machine does not count; the wall's time stands beside it.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from time import perf_counter, process_time
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.spares import spares_for
from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.policy import load_policy
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.core.rehearsal.rehearse import named_branches
from lumenkeep.core.rehearsal.stage import Stage
from sizes import sized

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.branch import Branch

SET = "quillmere"
RUNS = sized(5, small=1)
BAR_S = 2.0
SHOWN = 2
"""How many procedures are shown, those of the most steps."""


def main() -> None:
    """Print the least time of some runs, with and without spares in plenty."""
    policy = load_policy(SET)
    stage = Stage(policy, bedside_of(policy), date(2026, 11, 25))
    longest = [
        max(named_branches(procedure, stage), key=lambda branch: len(branch.acts))
        for procedure in stage.bedside.procedures.values()
    ]
    longest.sort(key=lambda branch: len(branch.acts))
    for branch in sized(longest[-SHOWN:], small=longest[:1]):
        print_table(stage, branch)


def print_table(stage: Stage, branch: Branch) -> None:
    """Print how long the table of a branch takes, and its fewest spares."""
    plenty = dict.fromkeys(branch.items, 9)
    print(f"{branch.procedure}, {branch.name}: {len(branch.acts)} steps")
    for room, spares in (("as laid out", None), ("spares in plenty", plenty)):
        times = []
        rows = []
        for _ in range(RUNS):
            wall, start = perf_counter(), process_time()
            rows = list(WaysBack(stage.bedside, branch, spares).table())
            times.append((process_time() - start, perf_counter() - wall))
        best, wall = min(times)
        ends = Counter(row.ending for row in rows)
        print(
            f"  {room:<17} {best:5.2f} s ({wall:.2f} s by the wall; bar {BAR_S:g} s): "
            f"{len(rows)} slips at steps: {ends['way-back']} ways back, "
            f"{ends['stop']} stops, {ends['leave']} times leave"
        )
    start = process_time()
    fewest = spares_for(stage.bedside, branch)
    print(
        f"  {'fewest spares':<17} {process_time() - start:5.2f} s: "
        f"{sum(count for _, count in fewest.items)} pieces of {len(fewest.items)} items"
    )


if __name__ == "__main__":
    main()
