"""What the policy says of one task for all children of a cell, worked out once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.core.due.worn import Bars, bars_on
from lumenkeep.core.model import Fact
from lumenkeep.core.policy import (
    LiveRule,
    RuleBook,
    Situation,
    Window,
    keep,
    window_for,
)
from lumenkeep.core.policy.rules import AtOnce
from lumenkeep.core.policy.vocabulary import FACTS

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator

    from lumenkeep.core.policy.rules import Rule

WHICH_DRESSING = "Which dressing is on the line?"
WHAT_RUNS = "What runs through the set?"


@dataclass(frozen=True, slots=True)
class Job:
    """One thing to do on a line: since when it has been as it is, and of which kind.

    ``is_off`` says of a dressing that none is on.
    """

    task: str
    since: Fact[datetime]
    kind: str | None = None
    dressing: str | None = None
    set_kind: str | None = None
    is_off: bool = False


@dataclass(frozen=True, slots=True)
class TaskStanding:
    """What the policy says of a task.

    Attributes
    ----------
    window
        None where no interval speaks of it.
    bars
        On what is worn.
    found
        The findings that make it due at once.
    asks
        Questions whose answers would settle what is open.
    """

    window: Window | None
    bars: Bars
    found: tuple[LiveRule[AtOnce], ...]
    asks: tuple[str, ...]
    because: tuple[str, ...]
    rules: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def says_something(self) -> bool:
        """Whether any rule of the policy speaks of the task."""
        return self.window is not None or bool(self.found or self.bars.held)

    @property
    def is_nothing(self) -> bool:
        """Whether the policy says that the task does not arise on this line."""
        return (
            self.window is not None
            and self.window.is_nothing
            and not self.found
            and not self.bars.held
        )


def standing(
    book: RuleBook, situation: Situation, job: Job, cell: Hashable
) -> TaskStanding:
    """Return what the policy says of a task, for a child of this cell."""
    key = ("due", cell, job.task, job.dressing, job.set_kind, job.is_off)
    known: TaskStanding | None = book.kept.get(key)
    if known is None:
        known = _worked_out(book, situation, job)
        keep(book.kept, key, known)
    return known


def _worked_out(book: RuleBook, situation: Situation, job: Job) -> TaskStanding:
    situation.dressing = job.dressing
    situation.set_kind = job.set_kind
    window = window_for(book, situation, job.task)
    is_worn = job.task == "dressing" and not job.is_off
    bars = bars_on(book, situation, job.dressing) if is_worn else Bars()
    found = tuple(
        live
        for live in book.at_once
        if live.rule.task == job.task and live.when.truth(situation) is True
    )
    counted = window.counted if window else ()
    rules: tuple[Rule, ...] = (*(live.rule for live in found), *counted)
    cited = (*(live.rule for live in bars.held), *rules)
    return TaskStanding(
        window=window,
        bars=bars,
        found=found,
        asks=tuple(dict.fromkeys(_asks(book, situation, job, bars, window))),
        because=tuple(rule.because for rule in rules),
        rules=tuple(rule.id for rule in cited),
        sources=tuple(dict.fromkeys(rule.source for rule in cited)),
    )


def _asks(
    book: RuleBook, situation: Situation, job: Job, bars: Bars, window: Window | None
) -> Iterator[str]:
    """Yield what to ask; of a set that is charted nobody is asked whether it hangs."""
    if job.task == "dressing" and job.dressing is None and not job.is_off:
        yield WHICH_DRESSING
    if job.task == "set" and job.set_kind is None:
        yield WHAT_RUNS
    yield from _questions(bars.open_, situation)
    ids = {rule.id for rule in (window.rules if window else ())}
    yield from _questions(
        (
            live
            for live in book.intervals_of(job.task)
            if live.rule.id in ids and not (live.rule.nothing_due and job.set_kind)
        ),
        situation,
    )


def _questions(rules: Iterable[LiveRule[Rule]], situation: Situation) -> Iterator[str]:
    for live in rules:
        for comparison in live.when.undecided(situation):
            ask = FACTS[comparison.fact].ask
            if ask is not None:
                yield ask
