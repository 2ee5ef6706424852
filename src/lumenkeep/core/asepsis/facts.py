"""The facts of a state by number, and what each act makes of them, worked out once.

Rules and effects speak of facts, never of items. So a search counts items apart and
asks here for the facts, however many things lie on the field.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.act import breaks_any
from lumenkeep.core.asepsis.duties import Duties
from lumenkeep.core.asepsis.effects import happened
from lumenkeep.core.asepsis.state import Lot, State, is_bare, skin_of

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.state import Skin

FORBIDDEN = -1
"""In place of a number of facts: a rule forbids the act there."""
_PROBE = (Lot(ready=1),)
"""One thing on the field, which shows whether an act loses what lies there."""


class Facts:
    """Numbers for the facts met and the acts tried, with every result kept.

    Attributes
    ----------
    duties
        What slips still ask for, as acts do it.
    states
        A state with the facts, by their number; its items mean nothing.
    bare, open_field, skins
        Whether something lies bare, whether a sound field lies open, and the skin, by
        the number of the facts.
    """

    def __init__(self) -> None:
        self.duties = Duties()
        self.states: list[State] = []
        self.bare: list[bool] = []
        self.open_field: list[bool] = []
        self.skins: list[Skin] = []
        self._ids: dict[tuple[object, ...], int] = {}
        self._acts: list[Act] = []
        self._numbers: dict[Act, int] = {}
        self._after: list[dict[int, int]] = []
        self._losing: set[tuple[int, int]] = set()

    def id_of(self, state: State) -> int:
        """Return the number of a state's facts."""
        facts = state[:-1]
        found = self._ids.get(facts)
        if found is None:
            found = self._ids[facts] = len(self.states)
            self.states.append(state._replace(items=_PROBE))
            self.bare.append(is_bare(state))
            self.open_field.append(state.field == "open")
            self.skins.append(skin_of(state))
        return found

    def number_of(self, act: Act) -> int:
        """Return the number an act is known by here."""
        found = self._numbers.get(act)
        if found is None:
            found = self._numbers[act] = len(self._acts)
            self._acts.append(act)
            self._after.append({})
        return found

    def act(self, number: int) -> Act:
        """Return an act by its number."""
        return self._acts[number]

    def after(self, number: int, facts: int) -> int:
        """Return the facts after an act, `FORBIDDEN` where a rule forbids it there."""
        known = self._after[number]
        found = known.get(facts)
        if found is None:
            found = known[facts] = self._worked_out(number, facts)
        return found

    def _worked_out(self, number: int, facts: int) -> int:
        act, state = self._acts[number], self.states[facts]
        if breaks_any(act.tests, state):
            return FORBIDDEN
        after = happened(state, act)
        if after.owes:
            after = after._replace(owes=self.duties.left(after.owes, (act,)))
        if after.items != _PROBE:
            self._losing.add((number, facts))
        return self.id_of(after)

    def loses_field(self, number: int, facts: int) -> bool:
        """Return whether an act that was tried loses what lies on the field."""
        return (number, facts) in self._losing
