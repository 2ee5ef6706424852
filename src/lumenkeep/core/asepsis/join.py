"""Put the shared parts into a procedure, and each own step in its place."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.model.reading import closest
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.core.asepsis.procedure import Procedure, Step

OWN_STEPS = "own"


def joined(
    procedure: Procedure,
    names: tuple[str, ...],
    parts: Mapping[str, tuple[Step, ...]],
    faults: list[Fault],
) -> Procedure:
    """Return a procedure with all its steps in order.

    Parameters
    ----------
    procedure
        As its file has it, with its own steps.
    names
        In which order shared parts and its own steps stand.
    parts
        Steps of the shared parts, by name.
    faults
        What is wrong is added here: ``policy-no-such-part``, ``policy-no-such-step``.
    """
    steps: list[Step] = []
    for name in names:
        if name == OWN_STEPS:
            steps += [step for step in procedure.steps if step.after is None]
        elif name in parts:
            steps += parts[name]
        else:
            faults.append(_no_such_part(procedure, name, parts))
    for step in reversed(procedure.steps):
        if step.after is not None:
            _put(step, steps, faults)
    whole = replace(procedure, steps=tuple(steps))
    faults += _of_repeat(whole)
    return whole


def _put(step: Step, steps: list[Step], faults: list[Fault]) -> None:
    """Put a step after the one it follows; those that follow the same keep their order."""
    places = [n for n, other in enumerate(steps) if other.id == step.after]
    if places:
        steps.insert(places[-1] + 1, step)
    else:
        faults.append(_no_such_step(str(step.after), f"{step.where}.after", steps))


def _of_repeat(procedure: Procedure) -> Iterator[Fault]:
    repeat = procedure.repeat
    if repeat is not None:
        for key, id_ in (("from", repeat.first), ("to", repeat.last)):
            if id_ not in [step.id for step in procedure.steps]:
                where = f"{procedure.where}.repeat.{key}"
                yield _no_such_step(id_, where, procedure.steps)


def _no_such_part(
    procedure: Procedure, name: str, parts: Mapping[str, tuple[Step, ...]]
) -> Fault:
    return Fault(
        "policy-no-such-part",
        f"No part '{name}' of a procedure is written.",
        f"{procedure.where}.parts",
        "name one of: " + ", ".join((OWN_STEPS, *sorted(parts))),
    )


def _no_such_step(id_: str, where: str, steps: list[Step] | tuple[Step, ...]) -> Fault:
    near = closest(id_, [step.id for step in steps])
    return Fault(
        "policy-no-such-step",
        f"This procedure has no step '{id_}'.",
        where,
        (
            f"did you mean '{near}'? Or "
            if near
            else "name the id of one of its steps, or "
        )
        + "put the part that holds it back under 'parts'",
    )
