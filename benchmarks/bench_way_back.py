"""The whole table of ways back for the longest procedure, and its fewest spares.

Each run starts with nothing kept. The time is of this process alone, so that other
work on the machine does not count; the wall's time stands beside it.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from time import perf_counter, process_time

from lumenkeep.asepsis.spares import spares_for
from lumenkeep.asepsis.way_back import Recovery
from lumenkeep.policy import load_policy
from lumenkeep.services.procedure_files import bedside_of
from lumenkeep.services.rehearse import Stage, named_branches

SET = "quillmere"
RUNS = 5
BAR_S = 2.0


def main() -> None:
    """Print the least time of some runs, with and without spares in plenty."""
    policy = load_policy(SET)
    stage = Stage(policy, bedside_of(policy), date(2026, 11, 25))
    branches = [
        branch
        for procedure in stage.bedside.procedures.values()
        for branch in named_branches(procedure, stage)
    ]
    longest = max(branches, key=lambda branch: len(branch.acts))
    plenty = dict.fromkeys(longest.items, 9)
    print(f"{longest.procedure}, {longest.name}: {len(longest.acts)} steps")
    for room, spares in (("as laid out", None), ("spares in plenty", plenty)):
        times = []
        rows = []
        for _ in range(RUNS):
            wall, start = perf_counter(), process_time()
            rows = list(Recovery(stage.bedside, longest, spares).table())
            times.append((process_time() - start, perf_counter() - wall))
        best, wall = min(times)
        ends = Counter(row.ending for row in rows)
        print(
            f"  {room:<17} {best:5.2f} s ({wall:.2f} s by the wall; bar {BAR_S:g} s): "
            f"{len(rows)} slips at steps: {ends['way-back']} ways back, "
            f"{ends['stop']} stops, {ends['leave']} times leave"
        )
    start = process_time()
    spares = spares_for(stage.bedside, longest)
    print(
        f"  {'fewest spares':<17} {process_time() - start:5.2f} s: "
        f"{sum(count for _, count in spares.items)} pieces of {len(spares.items)} items"
    )


if __name__ == "__main__":
    main()
