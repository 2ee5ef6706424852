"""Proofs and comparisons under way, each in a process of its own, by what they are of.

Nothing here is kept on disk: a proof is worked out again in seconds. Only one runs at
a time, so that the ward view keeps a processor, and what somebody looks at now goes
first: a draft that was saved again is not held up by what it was before.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count
from threading import Lock, Semaphore, Thread
from typing import TYPE_CHECKING, Any

from lumenkeep.ward.site.own_process import own_process

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from lumenkeep.core.policy.archive import SetTexts

# Against hanging: a busy machine is no reason to give up.
PATIENCE_SECONDS = 900
MOST_RUNS = 64


@dataclass
class SolverRun:
    """One question to the solver, and what of its answer is there.

    Attributes
    ----------
    parts
        Properties decided so far; of a comparison, what was worked on.
    done
        The whole answer; None while it is still worked on.
    failed
        Why there is none; empty while all is well.
    asked
        When it was asked for last, as a count.
    """

    parts: list[dict[str, Any]] = field(default_factory=list)
    done: dict[str, Any] | None = None
    failed: str = ""
    asked: int = 0

    @property
    def is_over(self) -> bool:
        """Whether nothing more will come."""
        return self.done is not None or bool(self.failed)


_runs: dict[tuple[str, ...], SolverRun] = {}
_waiting: list[tuple[SolverRun, dict[str, Any]]] = []
_count = count()
_lock = Lock()
_one_at_a_time = Semaphore(1)


def proof_of(
    layers: Sequence[SetTexts], digest: str, day: date, *, again: bool = False
) -> SolverRun:
    """Return the proof of a set, begun if it is not yet, or ``again`` if it failed."""
    question = {"what": "prove", "policy": _packed(layers), "day": day.isoformat()}
    return _run(("prove", digest, day.isoformat()), question, again=again)


def comparison_of(
    one: tuple[Sequence[SetTexts], str],
    two: tuple[Sequence[SetTexts], str],
    day: date,
    *,
    again: bool = False,
) -> SolverRun:
    """Return the comparison of two sets (layers and digest), as `proof_of`."""
    question = {
        "what": "compare",
        "other": _packed(one[0]),
        "policy": _packed(two[0]),
        "day": day.isoformat(),
    }
    return _run(("compare", one[1], two[1], day.isoformat()), question, again=again)


def _packed(layers: Sequence[SetTexts]) -> list[dict[str, Any]]:
    return [{"name": layer.name, "files": dict(layer.files)} for layer in layers]


def _run(key: tuple[str, ...], question: dict[str, Any], *, again: bool) -> SolverRun:
    with _lock:
        found = _runs.get(key)
        if found is None or (again and found.failed):
            while len(_runs) >= MOST_RUNS:
                del _runs[next(iter(_runs))]
            found = _runs[key] = SolverRun()
            _waiting.append((found, question))
            Thread(target=_work, daemon=True).start()
        found.asked = next(_count)
        return found


def _work() -> None:
    """Work on whichever waits and was asked for last; as many do as there are runs."""
    with _one_at_a_time:
        with _lock:
            chosen = max(_waiting, key=lambda one: one[0].asked)
            _waiting.remove(chosen)
        run, question = chosen
        try:
            _ask(run, question)
        except OSError as error:
            run.failed = f"The solver could not be started: {error.strerror}."
    if not run.is_over:
        run.failed = "The solver gave no answer in time."


def _ask(run: SolverRun, question: dict[str, Any]) -> None:
    with own_process("lumenkeep.ward.policies.solve", question, PATIENCE_SECONDS) as (
        process,
        answers,
    ):
        for said in answers:
            _take(run, said)
    if process.returncode > 0 and not run.is_over:
        run.failed = "The solver stopped without an answer; the server's log says why."


def _take(run: SolverRun, said: dict[str, Any]) -> None:
    if "part" in said:
        run.parts.append(said["part"])
    run.failed = said.get("failed", "")
    run.done = said.get("done")
