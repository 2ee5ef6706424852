"""The acts of ways back, each named once, so that a bundle carries it once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.recovery.halves import actor_of, halves_of_act
from lumenkeep.core.recovery.looks import drawing_of, look_of
from lumenkeep.core.recovery.shown import shown_at

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside

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
