"""For every slip at every step: the way back of least cost, or stop, cover, call.

Nothing here is a table of answers. A slip spoils what its row says; then the states
that can be reached with what is in the room are searched (`search.py`) for one from
which the rest of the procedure breaks no rule.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.core.asepsis.check import final_state, walk
from lumenkeep.core.asepsis.effects import applied
from lumenkeep.core.asepsis.endings import made_safe
from lumenkeep.core.asepsis.paths import Paths
from lumenkeep.core.asepsis.rest import Rest, WalkedBranch
from lumenkeep.core.asepsis.room import Cost, Room
from lumenkeep.core.asepsis.slipping import ONE_WAY, Slipping
from lumenkeep.core.asepsis.state import changed
from lumenkeep.core.asepsis.stock import in_hand
from lumenkeep.core.asepsis.way import Stands, WayBack

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.check import Break
    from lumenkeep.core.asepsis.procedure import Bedside, Slip, Step
    from lumenkeep.core.asepsis.search import Path
    from lumenkeep.core.asepsis.state import Owed, State

SAY = "say"
NEVER_REPEATED = frozenset(
    {
        "press-edges",
        "peel",
        "clear-away",
        "unmask",
        "cover-for-now",
        "resume",
        "pull",
        "open-lumen",
    }
)
ENDS_ASEPSIS = frozenset({"cover-and-call", "call-for-help"})


class _At(NamedTuple):
    """Where a slip happened, and the place of the step that comes next."""

    place: int
    step: str
    resumes: int


class WaysBack:
    """Ways back for one branch.

    Parameters
    ----------
    bedside
        Slips, moves and what lies in the room.
    branch
        A branch that breaks no rule.
    spares
        Pieces in the room beyond what the steps use, by item; the set's own where
        None.
    """

    def __init__(
        self,
        bedside: Bedside,
        branch: Branch,
        spares: Mapping[str, int] | None = None,
    ) -> None:
        if spares is None:
            spares = {spare.item: spare.count for spare in bedside.room}
        self.branch = branch
        self.bedside = bedside
        self.planned = branch.planned()
        self._slipping = Slipping(bedside, branch.setting)
        self.slips = self._slipping.slips
        self._moves = {
            move.id: branch.maker.act(move)
            for move in bedside.moves
            if branch.setting.holds(move.when)
        }
        opening = next(s for s in _all_steps(bedside) if s.verb == "open")
        self.room = Room(branch, replace(opening, id="open-more", opens_all=False))
        course = WalkedBranch(branch, self.room.facts)
        self._rests = [
            Rest(course, p, self.room.stocks) for p in range(len(branch.acts) + 1)
        ]
        self.states = self._states(self.stocked(spares))
        self._paths = Paths(self.room, self._rests, self._usable(), self.states)

    def stocked(self, spares: Mapping[str, int]) -> State:
        """Return the first state with spares in the room."""
        lots = tuple(
            lot._replace(sealed=lot.sealed + spares.get(item, 0))
            for item, lot in zip(
                self.branch.items, self.branch.start.items, strict=True
            )
        )
        return self.branch.start._replace(items=lots)

    def _states(self, start: State) -> tuple[State, ...]:
        states = [start]
        for act in self.branch.acts:
            states.append(applied(states[-1], act))
        return tuple(states)

    def _usable(self) -> list[tuple[int, int]]:
        """Return the acts that may be used, each with the first step it may follow."""
        seen: set[tuple[object, ...]] = set()
        numbers = []
        steps = [(p, a) for p, a in enumerate(self.branch.acts) if not a.opens]
        only_to_stop = ENDS_ASEPSIS.union(
            *(slip.first for slip in self.bedside.slips),
            *(safe.does for safe in self.bedside.safe),
        )
        moves = [(0, m) for i, m in self._moves.items() if i not in only_to_stop]
        # A move of the same kind goes before a step: its sentence fits any moment.
        for place, act in [*moves, *steps]:
            step = act.step
            if act.effect is None or step.verb in {*NEVER_REPEATED, SAY} or step.once:
                continue
            key = (*_kind(step), act.uses, act.seconds)
            if key not in seen:
                seen.add(key)
                numbers.append((place, self.room.facts.number_of(act)))
        return numbers

    def happens(self, place: int, slip: Slip) -> tuple[State, int] | None:
        """Return the state after a slip at a step and where to resume; None if it cannot.

        A slip by which what was used is lost undoes the step: the step is to be done
        again.
        """
        act = self.branch.acts[place]
        found = self._slipping.at(act, self.states[place], self.states[place + 1], slip)
        if found is None:
            return None
        state, undone = found
        return state, place if undone else place + 1

    def way_back(self, place: int, slip: Slip) -> WayBack | None:
        """Return what to do after a slip at a step; None where it cannot happen there."""
        happened = self.happens(place, slip)
        if happened is None:
            return None
        state, resumes = happened
        at = _At(place, self.branch.acts[place].step.id, resumes)
        return self._from(at, slip, state)

    def unfinished(self, found: WayBack) -> WayBack | None:
        """Return what to do instead where the step was not finished when it happened.

        Parameters
        ----------
        found
            What `way_back` returned.

        Returns
        -------
        WayBack or None
            It resumes at that step, which is then done. None where ``found`` resumes
            there itself, or is no way back.
        """
        place = found.place
        if found.ending != "way-back" or not self.may_be_unfinished(place):
            return None
        if found.resumes <= place:
            return None
        state = self.amid(place, found.slip)
        return self._from(_At(place, found.step, place), found.slip, state)

    def may_mend(self, slip: Slip, state: State) -> bool:
        """Return whether a way back is looked for after a slip, in the state after it."""
        return self._slipping.may_mend(slip, state)

    def may_be_unfinished(self, place: int) -> bool:
        """Return whether a step can be left half done; else it counts as done once begun."""
        return self.branch.acts[place].step.verb not in ONE_WAY

    def amid(self, place: int, slip: Slip) -> State:
        """Return the state after a slip at a step that was not finished."""
        before, after = self.states[place], self.states[place + 1]
        return self._slipping.amid(self.branch.acts[place], before, after, slip)

    def again(self, found: WayBack, at: int, slip: Slip) -> WayBack | None:
        """Return what to do after a slip during a way back.

        Parameters
        ----------
        found
            A way back of this branch; or one that this returned, for a third slip.
        at
            Place of the act, among ``found.acts``, at which it happened.
        slip
            What happened.

        Returns
        -------
        WayBack or None
            With ``start`` the state after this slip, and ``resumes`` as before: what
            is left of the first way back is not followed, the best of all is searched
            anew. Its ``step`` is the act at which it happened. None where the slip
            cannot happen there.
        """
        act = found.acts[at]
        duties = self.room.facts.duties
        before = final_state(found.start, found.acts[:at])
        before = before._replace(owes=duties.left(before.owes, found.acts[:at]))
        after = applied(before, act)
        after = after._replace(owes=duties.left(after.owes, (act,)))
        slipped = self._slipping.at(act, before, after, slip)
        if slipped is None:
            return None
        where = _At(found.place, act.step.id, found.resumes)
        second = slip.id == found.slip.id and slip.twice is not None
        return self._from(where, slip, slipped[0], may_mend=not second)

    def _from(
        self, at: _At, slip: Slip, state: State, *, may_mend: bool = True
    ) -> WayBack:
        may_mend = may_mend and self.may_mend(slip, state)
        path = self.path(state, at.resumes) if may_mend else None
        if path is None:
            return self._stopped(at, slip, state, may_mend=may_mend)
        return WayBack(
            slip,
            at.place,
            at.step,
            at.resumes,
            slip.ending,
            (self._moves[SAY], *path.acts),
            path.cost.plus(Cost(0, 0, 1)),
            (),
            slip.because,
            state,
            path.ends,
        )

    def path(self, state: State, resumes: int) -> Path | None:
        """Return the cheapest path from a state after a slip to one to resume from."""
        return self._paths.path(applied(state, self._moves[SAY]), resumes)

    def owed(self, found: WayBack) -> Owed:
        """Return what a way back and the steps after it leave undone of what is owed."""
        acts = (*found.acts, *self.branch.acts[found.resumes :])
        return self.room.facts.duties.left(found.start.owes, acts)

    def _stopped(self, at: _At, slip: Slip, state: State, *, may_mend: bool) -> WayBack:
        lacking: tuple[tuple[str, int], ...] = ()
        because, ending = slip.stop or slip.because, slip.ending
        if ending == "way-back":
            ending = "stop"
            if may_mend:
                lacking = self.wanting(state, at.resumes)
                names = ", ".join(f"{count} × {item}" for item, count in lacking)
                because = "No order of steps mends it here."
                if lacking:
                    because = f"Not in the room: {names}. {slip.stop}".strip()
        acts = self.left_safely(state, slip)
        ends = final_state(state._replace(owes=()), acts)
        return WayBack(
            slip,
            at.place,
            at.step,
            at.resumes,
            ending,
            tuple(acts),
            Cost(),
            lacking,
            because,
            state,
            ends,
        )

    def left_safely(self, state: State, slip: Slip | None = None) -> list[Act]:
        """Return what is done where somebody stops: say, this first, then call."""
        first = slip.first if slip else ()
        acts = [self._moves[i] for i in (SAY, *first) if i in self._moves]
        endings = self.branch.maker.endings
        acts += made_safe(endings, self._moves, final_state(state, acts))
        return [*acts, self._moves["call-for-help"]]

    def unsafe(self, found: WayBack) -> tuple[str, ...]:
        """Return what is not safe where a way ends in a stop: sentences; none, if right."""
        ends = final_state(found.start, found.acts)
        endings = self.branch.maker.endings
        return tuple(e.rule.says for e in endings if e.is_unsafe(ends))

    def is_explained(self, found: WayBack) -> bool:
        """Return whether the set says that it ends so, or what is not in the room."""
        if found.ending == found.slip.ending or found.lacking:
            return True
        return not self.may_mend(found.slip, found.start)

    def wanting(self, state: State, resumes: int) -> tuple[tuple[str, int], ...]:
        """Return the pieces, by item, that a way back wants and the room has not."""
        return tuple(sorted(self.fewest(state, resumes).items()))

    def fewest(self, state: State, resumes: int) -> dict[str, int]:
        """Return the pieces beyond those in the room of the cheapest way back of all."""
        path = self.path(self.with_plenty(state), resumes)
        return {} if path is None else self.beyond(path, state, resumes)

    def beyond(self, path: Path, state: State, resumes: int) -> dict[str, int]:
        """Return the pieces that a path and the rest use beyond what a state has sealed."""
        used: dict[int, int] = {}
        for act in (*path.acts, *self._rests[resumes].acts):
            for spot, count in (*act.opens, *in_hand(act)):
                used[spot] = used.get(spot, 0) + count
        return {
            self.branch.items[spot]: count - state.items[spot].sealed
            for spot, count in used.items()
            if count > state.items[spot].sealed
        }

    def with_plenty(self, state: State) -> State:
        """Return the state as if the room held more of everything than can be used."""
        plenty = sum(self.planned) + len(self.branch.acts)
        lots = tuple(lot._replace(sealed=lot.sealed + plenty) for lot in state.items)
        return state._replace(items=lots)

    def table(self) -> Iterator[WayBack]:
        """Yield what to do for every slip at every step at which it can happen."""
        for place in range(len(self.branch.acts)):
            for slip in self.slips:
                found = self.way_back(place, slip)
                if found is not None:
                    yield found

    def breaks(self, found: WayBack) -> tuple[Break, ...]:
        """Return the rules that a way back and the rest after it break: none, if right."""
        rest = self.branch.acts[found.resumes :]
        whole = replace(self.branch, acts=(*found.acts, *rest))
        return walk(whole, found.start).breaks

    def stands(self, found: WayBack) -> tuple[Stands, ...]:
        """Return the earlier steps that are not repeated, and what of each still holds."""
        repeated = {_kind(act.step) for act in found.acts}
        kept = []
        for place in range(found.resumes):
            step = self.branch.acts[place].step
            if _kind(step) in repeated:
                continue
            facts = changed(self.states[place], self.states[place + 1])
            held = [
                f"{fact.replace('_', ' ')} {new}"
                for fact, (_, new) in facts.items()
                if getattr(found.ends, fact) == new
            ]
            if held:
                kept.append(Stands(step.id, "still " + ", ".join(held)))
        return tuple(kept)


def _all_steps(bedside: Bedside) -> Iterator[Step]:
    for procedure in bedside.procedures.values():
        yield from procedure.steps


def _kind(step: Step) -> tuple[object, ...]:
    """Return what tells one act from another, whatever the step is called."""
    return step.verb, step.actor, step.objects, step.touches, step.manner
