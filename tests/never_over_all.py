"""Walk every way back of the shipped sets beside the table of what never is.

``python -m tests.never_over_all [SET …]`` takes many minutes; ``make ways-back`` runs
it. A part of it runs in `tests/property/test_never_on_a_way_back.py`.
"""

from __future__ import annotations

import sys
from collections import Counter
from typing import TYPE_CHECKING

from tests.asepsis_faults.orders import stage
from tests.fakes.ways_walked import Walked

from lumenkeep.core.rehearsal.rehearse import rehearse

if TYPE_CHECKING:
    from collections.abc import Sequence

SETS = ("quillmere", "us-guideline", "uk-guideline")
SECOND = 50
"""Every so many-th act of a way back at which each slip happens again."""


def told_of(
    set_name: str, procedure: str, *, each: int = 1
) -> tuple[int, Counter[str]]:
    """Return how many ways were walked, and how often each thing that never may be was.

    Parameters
    ----------
    each
        Every so many-th branch.
    """
    here = stage(set_name)
    seen, found = 0, Counter[str]()
    for number, one in enumerate(rehearse(here.procedure(procedure), here).branches):
        if number % each:
            continue
        plenty = dict.fromkeys(one.branch.items, 9) if number // each % 2 else None
        walked = Walked(here.bedside, one.branch, plenty)
        found.update(f"as written: {says}" for says in walked.undisturbed())
        for step, slip, says in walked.wrong(second=SECOND):
            found[f"{says} ({slip} at {step}; {one.branch.name})"] += 1
        seen += walked.seen
    return seen, found


def main(sets: Sequence[str]) -> int:
    """Print what was found in each procedure; 1 where something was."""
    failed = 0
    for set_name in sets or SETS:
        for procedure in stage(set_name).bedside.procedures:
            seen, found = told_of(set_name, procedure)
            print(
                f"{set_name} {procedure}: {seen} ways, {sum(found.values())} never",
                flush=True,
            )
            for says, count in found.most_common(20):
                print(f"  {count} × {says}")
            failed |= bool(found)
    return failed


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
