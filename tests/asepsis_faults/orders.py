"""Change a procedure's steps by hand, to see whether the check finds the fault."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.branch import laid_out, steps_for
from lumenkeep.core.asepsis.check import walk
from lumenkeep.core.policy import load_policy
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.core.rehearsal.stage import Stage

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.check import Walk
    from lumenkeep.core.asepsis.procedure import Procedure, Step

DAY = date(2026, 11, 25)


@lru_cache
def stage(name: str = "quillmere") -> Stage:
    policy = load_policy(name)
    return Stage(policy, bedside_of(policy), DAY)


def _place(steps: list[Step], id_: str) -> int:
    [found] = [n for n, step in enumerate(steps) if step.id == id_]
    return found


def move(id_: str, *, before: str) -> Callable[[list[Step]], list[Step]]:
    """Return an edit that puts a step before another."""

    def edit(steps: list[Step]) -> list[Step]:
        step = steps.pop(_place(steps, id_))
        steps.insert(_place(steps, before), step)
        return steps

    return edit


def drop(*ids: str) -> Callable[[list[Step]], list[Step]]:
    """Return an edit that leaves steps out."""
    return lambda steps: [step for step in steps if step.id not in ids]


def alter(id_: str, **changes: Any) -> Callable[[list[Step]], list[Step]]:
    """Return an edit that changes fields of a step."""

    def edit(steps: list[Step]) -> list[Step]:
        place = _place(steps, id_)
        steps[place] = replace(steps[place], **changes)
        return steps

    return edit


def repeat(
    id_: str, *, before: str, **changes: Any
) -> Callable[[list[Step]], list[Step]]:
    """Return an edit that does a step once more, as ``again``, before another."""

    def edit(steps: list[Step]) -> list[Step]:
        step = replace(steps[_place(steps, id_)], id="again", **changes)
        steps.insert(_place(steps, before), step)
        return steps

    return edit


@dataclass(frozen=True)
class Headed:
    """An edit of what the head of a procedure says."""

    changes: dict[str, Any]


def headed(**changes: Any) -> Headed:
    """Return an edit that changes fields of the procedure itself."""
    return Headed(changes)


def branch_of(
    procedure: str,
    *edits: Callable[[list[Step]], list[Step]] | Headed,
    set_name: str = "quillmere",
    seconds: dict[str, int] | None = None,
    **facts: str,
) -> Branch:
    """Return a branch of a procedure after some edits; unsaid facts take the first word."""
    here = stage(set_name)
    base = here.procedure(procedure)
    for edit in edits:
        if isinstance(edit, Headed):
            base = replace(base, **edit.changes)
    words = {fact: choices[:1] for fact, choices in here.vary_of(base)}
    if "dressing" in words:
        words["dressing"] = ("transparent",)
    words |= {fact: (word,) for fact, word in facts.items()}
    setting = here.setting(base, words)
    if seconds:
        setting = replace(setting, seconds={**setting.seconds, **seconds})
    steps = steps_for(base, setting)
    for edit in edits:
        if not isinstance(edit, Headed):
            steps = edit(steps)
    changed: Procedure = replace(base, steps=tuple(steps), repeat=None)
    return laid_out(changed, here.bedside, setting)


def walked(procedure: str, *edits: Any, **facts: Any) -> Walk:
    """Return the walk of a branch after some edits."""
    return walk(branch_of(procedure, *edits, **facts))
