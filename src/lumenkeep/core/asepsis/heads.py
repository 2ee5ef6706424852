"""Hold what the head of a procedure says against what such a procedure must say.

How it begins and ends, what is asked beforehand, and which due tasks it counts for. And
tell what a procedure is by what it does: one under another name is held to the same.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.core.asepsis.act import any_row
from lumenkeep.core.asepsis.rules import (
    BranchActs,
    compiled_rows,
    matches,
    said_of_step,
)
from lumenkeep.core.asepsis.state import in_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.head import ProcedureHead, ProcedureKind
    from lumenkeep.core.asepsis.procedure import Procedure
    from lumenkeep.core.asepsis.state import State
    from lumenkeep.core.asepsis.when import Rows

START, END, IN_HEAD = "start", "end", "head"
"""Where such a fault shows, in place of a step."""


class HeadFault(NamedTuple):
    """Something that the head of a procedure does not say as it must.

    ``at`` is `START`, `END` or `IN_HEAD`; ``state`` says what is so instead.
    """

    head: ProcedureHead
    at: str
    state: str
    mend: str


def kinds_of(procedure: Procedure, kinds: Iterable[ProcedureKind]) -> frozenset[str]:
    """Return what a procedure is held to: its own id, and what it is by its acts."""
    told = [said_of_step(step) for step in procedure.steps]

    def does(on: Mapping[str, tuple[str, ...]]) -> bool:
        return any(matches(has, on) for has in told)

    found = (
        kind.procedure
        for kind in kinds
        if does(kind.on) and not (kind.without and does(kind.without))
    )
    return frozenset((procedure.id, *found))


def head_faults(branch: Branch, last: State) -> Iterator[HeadFault]:
    """Yield what the head of a branch's procedure does not say as it must.

    Parameters
    ----------
    branch
        As written.
    last
        State after its last step.
    """
    told = BranchActs(branch.acts)
    for head in branch.maker.heads:
        for at, rows, state in (
            (START, head.starts, branch.start),
            (END, head.ends, last),
        ):
            if rows and not any_row(compiled_rows(rows, ""), state):
                yield HeadFault(head, at, _instead(rows, state), head.mend)
        asked = dict(branch.asks)
        for fact, words in head.asks:
            missing = [word for word in words if word not in asked.get(fact, ())]
            if missing:
                said = f"{fact} never {' or '.join(missing)}"
                yield HeadFault(head, IN_HEAD, said, head.mend)
        if head.task is not None:
            yield from _of_task(head, head.task, branch, told)
        others = [one for one in branch.resets if one not in head.may_reset]
        if head.may_reset and others:
            yield HeadFault(head, IN_HEAD, f"resets {' and '.join(others)}", head.mend)


def _of_task(
    head: ProcedureHead,
    task: str,
    branch: Branch,
    told: BranchActs,
) -> Iterator[HeadFault]:
    """Yield where a due task is counted that is not done, or done and not counted."""
    is_done, counts = _does(head.does, told), task in branch.resets
    if counts and not is_done:
        yield HeadFault(head, IN_HEAD, f"resets {task}, and does not do it", head.mend)
    elif is_done and not counts:
        yield HeadFault(head, IN_HEAD, f"does it, and resets no {task}", head.mend)


def _does(acts: Sequence[Mapping[str, tuple[str, ...]]], told: BranchActs) -> bool:
    """Return whether steps do some acts, in their order."""
    last = -1
    for on in acts:
        place = min((p for p in told.places(on) if p > last), default=None)
        if place is None:
            return False
        last = place
    return True


def _instead(rows: Rows, state: State) -> str:
    """Return the facts that are otherwise than the row that is met best, in words."""
    wrong = [
        tuple(fact for fact, words in row if getattr(state, fact) not in words)
        for row in rows
    ]
    return in_words(state, min(wrong, key=len))
