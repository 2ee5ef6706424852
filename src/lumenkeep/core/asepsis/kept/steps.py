"""Whether a step, or a move of a way back, decides what the published one does."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.kept.numbers import worse
from lumenkeep.core.asepsis.kept.words import ACTORS, pieces, plain, sentence
from lumenkeep.core.asepsis.procedure import Bedside
from lumenkeep.core.asepsis.words import PEOPLE, VERBS
from lumenkeep.core.policy.numbers import MORE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.asepsis.procedure import Step

CHILD = "child"
Counts = tuple[tuple[str, "int | str"], ...]


@dataclass(frozen=True, slots=True)
class StepSides:
    """What is published and what a set says, on a day and after it."""

    shipped: Bedside
    own: Bedside
    day: date


def otherwise(step: Step, own: Step, sides: StepSides) -> Iterator[str]:
    """Yield what an own step no longer decides of a published one, but for when."""
    yield from _done(step, own)
    yield from _pieces(step, own, sides)
    yield from _time(step, own, sides)
    yield from _told_of(step, own)


def _done(step: Step, own: Step) -> Iterator[str]:
    if not _as_many_people(step.actor, own.actor):
        yield f"was done by {ACTORS[step.actor]}, here by {ACTORS[own.actor]}"
    if own.verb != step.verb:
        yield f"was “{VERBS[step.verb]}”, here “{VERBS[own.verb]}”"
    if set(own.objects) != set(step.objects):
        yield f"was about {plain(step.objects)}, here about {plain(own.objects)}"
    lost = [one for one in step.touches if one not in own.touches]
    if lost:
        yield f"no longer says that a hand lies on {plain(lost)}"
    lost = [one for one in step.manner if one not in own.manner]
    if lost:
        yield f"is no longer done {plain(lost)}"


def _told_of(step: Step, own: Step) -> Iterator[str]:
    if step.look and not own.look:
        yield f"no longer says what to look for: {sentence(step.look)}"
    lost = [one for one in step.charted if one not in own.charted]
    if lost:
        yield f"no longer charts {plain(lost)}"
    if own.once != step.once:
        yield (
            "may be done again on a way back, though its sentence fits one moment"
            if step.once
            else "may no longer be done on a way back"
        )


def _as_many_people(asked: str, own: str) -> bool:
    if CHILD in (asked, own):
        return asked == own
    return set(PEOPLE[asked]) <= set(PEOPLE[own])


def _pieces(step: Step, own: Step, sides: StepSides) -> Iterator[str]:
    if not _as_much(step.uses, own.uses):
        yield f"used {_told(step.uses, sides)}, here {_told(own.uses, sides)}"
    if own.opens_all:
        return
    if step.opens_all:
        yield (
            f"opened everything that later steps take, here {_told(own.opens, sides)}"
        )
    elif not _as_much(step.opens, own.opens):
        yield f"opened {_told(step.opens, sides)}, here {_told(own.opens, sides)}"


def _told(counts: Counts, sides: StepSides) -> str:
    return pieces(counts, {**sides.own.items, **sides.shipped.items})


def _as_much(counts: Counts, own: Counts) -> bool:
    mine = dict(own)
    for item, count in counts:
        there = mine.get(item, 0)
        if isinstance(count, str) or isinstance(there, str):
            if count != there:
                return False
        elif there < count:
            return False
    return True


def _time(step: Step, own: Step, sides: StepSides) -> Iterator[str]:
    if step.seconds is None or step.seconds == own.seconds:
        return
    if own.seconds is None:
        yield "has no least time any more"
        return
    number = sides.shipped.numbers.get(step.seconds)
    mine = sides.own.numbers.get(own.seconds)
    if number is None or mine is None:
        yield "takes another least time than the plan's"
        return
    found = worse(number, mine, sides.day, stricter=MORE)
    if found is not None:
        yield f"has another least time: {found}"
