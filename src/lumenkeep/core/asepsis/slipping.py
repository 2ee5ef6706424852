"""What a slip does to the state at one act, and whether it can happen there."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.act import any_row
from lumenkeep.core.asepsis.duties import duties_of
from lumenkeep.core.asepsis.effects import field_lost
from lumenkeep.core.asepsis.rules import compiled_rows
from lumenkeep.core.asepsis.state import Lot, State, with_facts

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Setting
    from lumenkeep.core.asepsis.procedure import Bedside, Slip
    from lumenkeep.core.asepsis.state import Owed


JOINS = frozenset({"connect", "needle-in"})
"""Verbs that use up what was filled; once it is lost, the next one is empty."""
ONE_WAY = frozenset({"pull", "open-lumen", "needle-out"})
"""Verbs that cannot be left half done: once begun they count as done."""
HALF_DONE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "peel": ("site",),
        "unfasten": ("securement", "holder"),
        "cut-stitches": ("securement", "holder"),
    }
)
"""Facts that are as after the act as soon as it is begun, by verb."""


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
        self._stops = {s.id: compiled_rows(s.stops, "operator") for s in self.slips}
        self._effects = {
            s.id: [(compiled_rows(e.given, "operator"), e) for e in s.effects]
            for s in self.slips
        }

    def may_mend(self, slip: Slip, state: State) -> bool:
        """Return whether a way back is looked for after a slip, in the state after it."""
        return slip.ending == "way-back" and not any_row(self._stops[slip.id], state)

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
        owed = duties_of(slip, state)
        if undone:
            state = _used_up(state, act)
        for rows, effect in self._effects[slip.id]:
            if rows and not any_row(rows, state):
                continue
            state = with_facts(state, dict(effect.sets))
            if effect.loses == "field":
                state = field_lost(state)
        return _unsaid(state, owed), undone

    def amid(self, act: Act, before: State, after: State, slip: Slip) -> State:
        """Return the state after a slip while an act was still being done.

        Nothing of the act counts as done, and all it uses counts as lost; whatever the
        slip spoils before or after the act is spoiled. What holds the line or covers
        the site is off as soon as somebody began to take it off, and a needle that is
        half in comes out again. A slip that `at` says cannot happen there is not to be
        asked about, nor an act that counts as done once begun (`ONE_WAY`).
        """
        state = _begun(_used_up(before, act), act, after)
        for rows, effect in self._effects[slip.id]:
            if rows and not any_row(rows, before) and not any_row(rows, after):
                continue
            state = with_facts(state, dict(effect.sets))
            if effect.loses == "field":
                state = field_lost(state)
        # What is asked in a state before or after the act is asked amid it.
        owed = duties_of(slip, before), duties_of(slip, after)
        return _unsaid(state, max(owed, key=_length))


def _unsaid(state: State, owed: Owed) -> State:
    """Return the state in which the slip is not said yet and asks for its duties."""
    return state._replace(said="no", owes=(*owed, *state.owes))


def _length(owed: Owed) -> int:
    return sum(len(duties) for duties in owed)


def _begun(state: State, act: Act, after: State) -> State:
    verb = act.step.verb
    if verb == "needle-in":
        return state._replace(needle="doubtful")
    return with_facts(state, {f: getattr(after, f) for f in HALF_DONE.get(verb, ())})


def _used_up(state: State, act: Act) -> State:
    """Return the state with what the act would have used lost instead."""
    if act.step.verb in JOINS:
        state = state._replace(part="dry")
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
