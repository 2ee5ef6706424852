"""What each of the two people sees of a step: do now, do next, keep an eye on."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.state import BARE, is_bare

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.procedure import Step
    from lumenkeep.core.asepsis.state import State

Half = dict[str, str | None]
PEOPLE = ("operator", "assistant")
ACTORS = {"near": "everyone", "child": "everyone"}
_FIRST_CLAUSE = re.compile(r"(?:[^.:;]|\.(?=\d))+")
"""A point before a digit ends no clause: "2.5 cm"."""


def actor_of(step: Step) -> str:
    """Return who does a step: operator, assistant, both or everyone."""
    return ACTORS.get(step.actor, step.actor)


def does(step: Step, person: str) -> bool:
    """Return whether a person does a step."""
    return actor_of(step) in (person, "both", "everyone")


def halves(
    acts: Sequence[Act], place: int, before: State, after: State
) -> dict[str, Half]:
    """Return both people's halves of one step of a branch.

    Parameters
    ----------
    place
        Place of the step among ``acts``.
    before, after
        State around it.
    """
    step = acts[place].step
    found: dict[str, Half] = {}
    for person in PEOPLE:
        watch = [*_guarding(person, step, before, after)]
        if step.look and does(step, person):
            watch.insert(0, step.look)
        found[person] = {
            "do": step.says if does(step, person) else None,
            "then": _next_of(acts[place + 1 :], person),
            "watch": " ".join(watch) or None,
        }
    return found


def halves_of_act(step: Step, says: str) -> dict[str, Half]:
    """Return both people's halves of an act of a way back."""
    return {
        person: {
            "do": says if does(step, person) else None,
            "then": None,
            "watch": step.look if does(step, person) else None,
        }
        for person in PEOPLE
    }


def _next_of(rest: Sequence[Act], person: str) -> str | None:
    for act in rest:
        if does(act.step, person):
            clause = _FIRST_CLAUSE.match(act.step.says)
            return clause.group().strip() + "." if clause else act.step.says
    return None


def _guarding(person: str, step: Step, before: State, after: State) -> list[str]:
    """Return what a person keeps an eye on beside the step, by the state around it."""
    said = []
    if before.holder == after.holder == person:
        said.append("Keep holding the line.")
    if does(step, person):
        return said
    is_open = before.field == after.field == "open"
    bare = is_bare(before) and is_bare(after)
    gloves = getattr(before, f"{person}_gloves")
    if person == "operator" and gloves == "sterile":
        said.append("Sterile gloves: they touch nothing but the field and the site.")
    if person == "assistant" and is_open:
        said.append("Watch the field: nothing crosses it.")
    if bare:
        is_hub = before.site not in BARE and before.tract != "open"
        what = "hub" if is_hub else "site"
        said.append(f"The {what} is open: nobody talks over it.")
    return said
