"""The acts of steps and recovery steps: halves, looks, drawings, each named once."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from lumenkeep.core.asepsis.state import BARE, is_bare

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside, Step
    from lumenkeep.core.asepsis.state import State

FACTS_READ, LAY_OUT, SCRUB, DRY, RESIDUE, DRESSING = (
    "facts", "lay-out", "scrub", "dry", "residue", "dressing",
)  # fmt: skip
SHOWN_AT: Mapping[str, str] = {"read": FACTS_READ, "gather": LAY_OUT}
SHOWN_AT_SITE: Mapping[str, str] = {
    "scrub": SCRUB, "wait": DRY, "look-dry": DRY, "wipe": RESIDUE,
}  # fmt: skip


def shown_at(step: Step) -> str | None:
    """Return which part of the plan stands at a step; None where none does."""
    if "site" in step.objects and step.verb in SHOWN_AT_SITE:
        return SHOWN_AT_SITE[step.verb]
    if step.verb == "cover":
        return DRESSING
    return SHOWN_AT.get(step.verb)


DRAWINGS = {
    "peel": "peel",
    "guard-edges": "edges",
    "back-and-forth": "back-and-forth",
    "outward": "outward-circles",
}
"""Our own drawings, by verb or by the manner of the motion."""


def look_of(step: Step) -> dict[str, Any] | None:
    """Return the question whose answer ends a step; None where no look does."""
    if step.verb != "look-dry":
        return None
    what = "hub" if "hub" in step.objects else "skin"
    return {
        "asks": f"Is the {what} dry? What shines is wet.",
        "yes": "Dry",
        "no": "Still shiny",
    }


def timer_of(step: Step) -> str | None:
    """Return what a step's seconds time: scrub, dry, hands or hub; None for others."""
    if step.seconds is None:
        return None
    if step.verb == "scrub":
        return "hub" if "hub" in step.objects else "scrub"
    if step.verb == "hand-hygiene":
        return "hands"
    return "dry" if step.verb == "wait" and "site" in step.objects else None


def drawing_of(step: Step) -> str | None:
    """Return the name of the drawing of a step's motion."""
    if "hub" in step.objects:
        return None
    if step.verb in DRAWINGS:
        return DRAWINGS[step.verb]
    return next((DRAWINGS[m] for m in step.manner if m in DRAWINGS), None)


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


OPENING = "open-more"


class ActBook:
    """Names for acts, and the acts by name."""

    def __init__(self, branch: Branch, bedside: Bedside) -> None:
        self.acts: dict[str, dict[str, Any]] = {}
        self._names: dict[tuple[str, tuple[tuple[int, int], ...]], str] = {}
        self._branch = branch
        self._bedside = bedside

    def name(self, act: Act) -> str:
        """Return the name of an act, written down where it is new."""
        key = (act.step.id, act.opens)
        if key not in self._names:
            same = sum(1 for step, _ in self._names if step == act.step.id)
            name = f"{act.step.id}.{same + 1}" if same else act.step.id
            self._names[key] = name
            self.acts[name] = self._act(act)
        return self._names[key]

    def _act(self, act: Act) -> dict[str, Any]:
        step = act.step
        opens = {self._branch.items[spot]: count for spot, count in act.opens}
        says = step.says
        if step.id == OPENING:
            pieces = ", ".join(
                f"{count} × {self._bedside.items[item].label}"
                for item, count in opens.items()
            )
            says = f"Open on to the field, from its edge: {pieces}."
        return {
            "step": step.id,
            "actor": actor_of(step),
            "verb": step.verb,
            "says": says,
            **halves_of_act(step, says),
            "seconds": act.seconds or None,
            "look": look_of(step),
            "shows": shown_at(step),
            "drawing": drawing_of(step),
            "opens": opens,
            "uses": {self._branch.items[spot]: count for spot, count in act.uses},
            "because": step.because,
        }
