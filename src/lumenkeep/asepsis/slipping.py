"""What a slip does to the state at one act, and whether it can happen there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.asepsis.act import any_row
from lumenkeep.asepsis.effects import field_lost
from lumenkeep.asepsis.rules import compiled_rows
from lumenkeep.asepsis.state import Lot, State, with_facts

if TYPE_CHECKING:
    from lumenkeep.asepsis.act import Act
    from lumenkeep.asepsis.branch import Setting
    from lumenkeep.asepsis.procedure import Bedside, Slip


class Slipping:
    """The slips of one setting, ready to be tried.

    Attributes
    ----------
    slips
        Those whose conditions on the change plan hold.
    """

    def __init__(self, bedside: Bedside, setting: Setting) -> None:
        self.slips = [s for s in bedside.slips if setting.holds(s.when)]
        self._given = {s.id: compiled_rows(s.given, "operator") for s in self.slips}
        self._effects = {
            s.id: [(compiled_rows(e.given, "operator"), e) for e in s.effects]
            for s in self.slips
        }

    def at(
        self, act: Act, before: State, after: State, slip: Slip
    ) -> tuple[State, bool] | None:
        """Return the state after a slip at an act, and whether the act is undone by it.

        None where the slip cannot happen there. A slip by which what was used is lost
        undoes the act: it is to be done again.
        """
        if slip.verbs and act.step.verb not in slip.verbs:
            return None
        undone = any(effect.loses == "used" for effect in slip.effects)
        if undone and not act.uses:
            return None
        state = before if undone else after
        given = self._given[slip.id]
        if given and not any_row(given, state):
            return None
        if undone:
            state = _used_up(state, act)
        for rows, effect in self._effects[slip.id]:
            if rows and not any_row(rows, state):
                continue
            state = with_facts(state, dict(effect.sets))
            if effect.loses == "field":
                state = field_lost(state)
        return state._replace(said="no"), undone

    def amid(self, act: Act, before: State, after: State, slip: Slip) -> State:
        """Return the state after a slip while an act was still being done.

        Nothing of the act counts as done, and all it uses counts as lost; whatever the
        slip spoils before or after the act is spoiled. A slip that `at` says cannot
        happen there is not to be asked about.
        """
        state = _used_up(before, act)
        for rows, effect in self._effects[slip.id]:
            if rows and not any_row(rows, before) and not any_row(rows, after):
                continue
            state = with_facts(state, dict(effect.sets))
            if effect.loses == "field":
                state = field_lost(state)
        return state._replace(said="no")


def _used_up(state: State, act: Act) -> State:
    """Return the state with what the act would have used lost instead."""
    lots = list(state.items)
    for place, count in act.uses:
        lot = lots[place]
        if act.from_field[place]:
            lots[place] = Lot(
                lot.sealed, lot.ready - count, lot.used, lot.spoiled + count
            )
        else:
            lots[place] = Lot(
                lot.sealed - count, lot.ready, lot.used, lot.spoiled + count
            )
    return state._replace(items=tuple(lots))
