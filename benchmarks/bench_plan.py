"""A whole change plan against a general rules engine that answers one table of it.

A full plan is a `Plan`: verdict, technique, dressing, people, supplies, reasons with
sources, questions, changes to come, cautions, disagreements. Another row adds what is
due and the spares, and turns all of it into what ``lumenkeep plan --json`` prints:
once with the spares kept in memory by region, once worked out from what lies on disk
each time, as by a command.
The rules engine gets the antiseptic table alone, with its facts already worked out as
plain numbers. All are asked about the same cases in the same loop, in turning order, so
that none has the quiet half of the run.
"""

from __future__ import annotations

import gc
from datetime import timedelta
from pathlib import Path
from statistics import mean, median
from tempfile import TemporaryDirectory
from time import perf_counter_ns
from typing import TYPE_CHECKING, Any

from antiseptic_table import as_decision, as_loaded, plain_facts
from cases import AT, mixed_cases
from lumenkeep.core.due import due_tasks
from lumenkeep.core.planning import plan_change
from lumenkeep.core.planning.prepared import prepare
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.archive import policy_from_texts, set_texts
from lumenkeep.core.reading.plan_case import plan_case
from lumenkeep.core.recovery.plan_spares import spares_asked, spares_in_plan
from lumenkeep.files.answer import plan_as_json
from lumenkeep.files.kept_in_folder import KeptInFolder
from sizes import sized

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.recovery.plan_spares import KeptSpares

    Turn = tuple[str, int]

CASES, ROUNDS = sized(240, small=9), sized(15, small=1)
SET = "quillmere"
PLAN, COLD = "a full plan", "a full plan, nothing kept from before"
SAID = "a full plan, what is due, spares, all as JSON"
READ = "the same, spares read from disk each time"
DECISION = "zen-engine, the table as a decision"
LOADED = "zen-engine, the table compiled once"


def full_answer(
    case: Case, at: datetime, policy: Policy, kept: KeptSpares
) -> dict[str, Any]:
    """Answer as ``lumenkeep plan --json`` does, up to the JSON values."""
    answer = plan_case(case, at, policy, kept)
    return plan_as_json(answer.plan, answer.tasks, case.zone, answer.spares)


def cold_answer(
    case: Case, at: datetime, policy: Policy, kept: KeptSpares
) -> dict[str, Any]:
    """Answer the same with nothing of the spares in memory."""
    plan = plan_change(case, at, policy)
    asked = spares_asked(policy, case, plan)
    spares = None if asked is None else spares_in_plan(asked, kept)
    return plan_as_json(plan, due_tasks(case, at, policy), case.zone, spares)


class Rows:
    """What is measured: each row answers case ``number`` at an instant."""

    def __init__(self, cases: list[Case], folder: Path) -> None:
        self.cases = cases
        self.on_disk = KeptInFolder(folder)
        self.facts = [plain_facts(case) for case in cases]
        self.policy = load_policy(SET)
        # A second copy, so that forgetting its answers leaves the first one's alone.
        self.forgetful = policy_from_texts(set_texts(SET))
        self.kept = prepare(self.forgetful.on(AT.date()))
        self.decision, self.loaded = as_decision(), as_loaded()
        self.by_name: dict[str, Callable[[int, datetime], object]] = {
            PLAN: lambda n, at: plan_change(cases[n], at, self.policy),
            COLD: lambda n, at: plan_change(cases[n], at, self.forgetful),
            SAID: lambda n, at: full_answer(cases[n], at, self.policy, self.on_disk),
            READ: lambda n, at: cold_answer(cases[n], at, self.policy, self.on_disk),
            DECISION: lambda n, _: self.decision(self.facts[n]),
            LOADED: lambda n, _: self.loaded(self.facts[n]),
        }

    def forget(self) -> None:
        """Forget all answers that the second copy has kept."""
        self.kept.skeletons.clear()
        self.kept.layouts.clear()
        self.kept.book.kept.clear()

    def verdicts(self) -> dict[str, int]:
        """Check that all rows agree, and count verdicts.

        All name the same agent wherever there is a plan, and what is kept changes no
        word of an answer.
        """
        counts = {"plan": 0, "ask": 0, "stop": 0}
        for number, case in enumerate(self.cases):
            plan = plan_change(case, AT, self.policy)
            counts[plan.verdict] += 1
            self.forget()
            fresh = cold_answer(case, AT, self.forgetful, self.on_disk)
            assert fresh == full_answer(case, AT, self.policy, self.on_disk), number
            if plan.antiseptic is not None:
                agent, facts = plan.antiseptic.agent, self.facts[number]
                assert self.decision(facts) == agent, (number, plan.sentence)
                assert self.loaded(facts) == agent, (number, plan.sentence)
        return counts


def turns(names: list[str], count: int, turn: int, *, by_case: bool) -> list[Turn]:
    """Return who answers which case when, in one round.

    By case, the rows take turns at every case, so each finds the processor full of
    the others' things, as between two requests. By round, each goes through all cases
    alone, as in a long calculation.
    """
    width = len(names)
    if by_case:
        return [
            (names[(turn + number + step) % width], number)
            for number in range(count)
            for step in range(width)
        ]
    order = [names[(turn + step) % width] for step in range(width)]
    return [(name, number) for name in order for number in range(count)]


def timed(rows: Rows, *, by_case: bool) -> dict[str, list[int]]:
    """Return the nanoseconds of every answer, by row; the first round is not counted."""
    names = list(rows.by_name)
    taken: dict[str, list[int]] = {name: [] for name in names}
    for turn in range(-1, ROUNDS):
        # No two rounds ask about the same instant: nothing may rest on that.
        at = AT + timedelta(minutes=turn)
        gc.collect()
        for name, number in turns(names, len(rows.cases), turn, by_case=by_case):
            answer = rows.by_name[name]
            if name == COLD:
                rows.forget()
            start = perf_counter_ns()
            answer(number, at)
            if turn >= 0:
                taken[name].append(perf_counter_ns() - start)
    return taken


def show(title: str, taken: dict[str, list[int]]) -> dict[str, float]:
    """Print medians and means; return each median's part of the decision's time."""
    middle = {name: median(times) / 1000 for name, times in taken.items()}
    print(f"\n{title:46}{'median':>11}{'mean':>12}{'/ decision':>12}{'/ compiled':>12}")
    for name, times in taken.items():
        print(
            f"{name:46}{middle[name]:8.1f} µs{mean(times) / 1000:9.1f} µs"
            f"{middle[name] / middle[DECISION]:12.2f}"
            f"{middle[name] / middle[LOADED]:12.2f}"
        )
    return {name: one / middle[DECISION] for name, one in middle.items()}


def main() -> None:
    """Run all rows over all cases, and print the medians."""
    with TemporaryDirectory() as folder:
        run(Rows(mixed_cases(CASES), Path(folder)))


def run(rows: Rows) -> None:
    """Check the rows, measure them both ways, and say which bars are met."""
    counts = rows.verdicts()
    said = ", ".join(f"{count} {word}" for word, count in counts.items())
    print(f"{len(rows.cases)} cases ({said}), {ROUNDS} rounds.")
    print("All name the same antiseptic wherever there is a plan.")
    gc.disable()
    ratios = show("taking turns at every case", timed(rows, by_case=True))
    show("taking turns at every round", timed(rows, by_case=False))
    print("\nBars, each / decision, turns at every case:")
    for name in (PLAN, SAID):
        said = "met" if ratios[name] <= 1 else "MISSED"
        print(f"  {name:46} 1.00: {ratios[name]:.2f}, {said}.")
    print("The compiled table is that engine's best, and far quicker.")


if __name__ == "__main__":
    main()
