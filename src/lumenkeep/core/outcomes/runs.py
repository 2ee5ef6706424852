"""Work a timeline once for each way through what is not known.

A run replays its script and takes the first answer to every question beyond it; each
other answer begins a run of its own. So only what is met is asked, and every
combination of answers that can be met is worked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.blood import BLOOD
from lumenkeep.core.outcomes.derivation import Event
from lumenkeep.core.outcomes.one_run import RunChoice, way_of
from lumenkeep.core.outcomes.reckoning import Reckoning

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.core.outcomes.timeline import Specimen, Timeline

MOST_RUNS = 1500
"""Beyond so many ways through one cluster of blood, what is asked cannot be said."""


@dataclass(frozen=True, slots=True)
class Run:
    """What one way through a timeline comes to, and what it had to choose."""

    events: tuple[Event, ...]
    choices: tuple[RunChoice, ...]

    @property
    def answers(self) -> dict[tuple[str, str], int]:
        """The answer taken, by kind of question and what it is about."""
        return {
            (one.question.kind, one.question.about): one.answer for one in self.choices
        }


@dataclass(frozen=True, slots=True)
class Runs:
    """All runs of a timeline, the usual one first; ``is_whole`` unless too many."""

    each: tuple[Run, ...]
    is_whole: bool = True


def runs_of(timeline: Timeline, protocol: Protocol) -> Iterator[Runs]:
    """Yield the runs of each cluster of blood; of all blood where nothing is asked."""
    usual = _run(timeline, protocol, ())
    if not usual.choices:
        yield Runs((usual,))
        return
    for cluster in _clusters(timeline, protocol):
        yield _explored(cluster, protocol)


def _run(timeline: Timeline, protocol: Protocol, script: tuple[int, ...]) -> Run:
    ways = way_of(timeline, protocol, script)
    events = Reckoning(timeline, ways).events()
    return Run(events, tuple(ways.choices))


def _explored(timeline: Timeline, protocol: Protocol) -> Runs:
    found: list[Run] = []
    waiting: list[tuple[int, ...]] = [()]
    while waiting and len(found) < MOST_RUNS:
        script = waiting.pop()
        run = _run(timeline, protocol, script)
        found.append(run)
        taken = tuple(choice.answer for choice in run.choices)
        for place in range(len(run.choices) - 1, len(script) - 1, -1):
            others = range(run.choices[place].of - 1, 0, -1)
            waiting += [(*taken[:place], other) for other in others]
    return Runs(tuple(found), is_whole=not waiting)


def _clusters(timeline: Timeline, protocol: Protocol) -> Iterator[Timeline]:
    """Yield the timeline with each cluster of blood: what lies too far apart to meet.

    Blood meets by pairing, by a date of event up to a window's days before it, and by
    a repeat timeframe from there.
    """
    before = protocol.days("window-before")
    apart = protocol.days("repeat-length") + before + before
    blood = sorted(
        (one for one in timeline.specimens if _may_grow(one)), key=lambda one: one.at
    )
    clusters: list[list[Specimen]] = []
    last: date | None = None
    for one in blood:
        if last is None or one.at.day - last > apart:
            clusters.append([])
        clusters[-1].append(one)
        last = one.at.day
    for cluster in clusters:
        here = {one.id for one in cluster}
        rest = (one for one in timeline.specimens if not _may_grow(one))
        kept = (*rest, *(one for one in blood if one.id in here))
        yield replace(timeline, specimens=kept)


def _may_grow(specimen: Specimen) -> bool:
    grew = bool(specimen.organisms) or not specimen.result_is_told
    return specimen.source in (BLOOD, "") and grew
