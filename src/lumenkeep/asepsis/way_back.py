"""For every slip at every step: the way back of least cost, or stop, cover, call.

Nothing here is a table of answers. A slip spoils what its row says; then the states
that can be reached with what is in the room are searched (`search.py`) for one from
which the rest of the procedure breaks no rule.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.asepsis.act import Act
from lumenkeep.asepsis.check import final_state, walk
from lumenkeep.asepsis.effects import applied
from lumenkeep.asepsis.procedure import Slip, Step
from lumenkeep.asepsis.relevance import Relevance
from lumenkeep.asepsis.rest import Course, Rest
from lumenkeep.asepsis.room import Cost, Room
from lumenkeep.asepsis.search import Path, cheapest
from lumenkeep.asepsis.skin import Bounds, SkinBound
from lumenkeep.asepsis.slipping import Slipping
from lumenkeep.asepsis.state import BARE, State, changed, skin_of
from lumenkeep.asepsis.stock import in_hand

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lumenkeep.asepsis.branch import Branch
    from lumenkeep.asepsis.check import Break
    from lumenkeep.asepsis.procedure import Bedside

SAY = "say"
NEVER_REPEATED = frozenset(
    {"peel", "clear-away", "unmask", "cover-for-now", "resume", "pull"}
)
ENDS_ASEPSIS = frozenset({"cover-and-call", "call-for-help"})


@dataclass(frozen=True, slots=True)
class Stands:
    """An earlier step that need not be repeated, and what of it still holds."""

    step: str
    because: str


@dataclass(frozen=True, slots=True)
class WayBack:
    """What to do after one slip at one step.

    Attributes
    ----------
    place, step
        The step at which it happened.
    resumes
        Place of the step that comes next.
    ending
        "way-back", "stop" or "leave".
    acts
        What to do, in order; for "stop" and "leave": say, cover if bare, call.
    cost
        Of a way back.
    lacking
        What is not in the room, with counts, where that is why it stops.
    because
        Why it ends so.
    """

    slip: Slip
    place: int
    step: str
    resumes: int
    ending: str
    acts: tuple[Act, ...]
    cost: Cost
    lacking: tuple[tuple[str, int], ...]
    because: str
    start: State
    ends: State


class _At(NamedTuple):
    """Where a slip happened, and the place of the step that comes next."""

    place: int
    step: str
    resumes: int


class Recovery:
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
        self._numbers = self._numbered()
        self._relevance = Relevance(
            [(n, self.room.facts.act(n)) for _, n in self._numbers],
            self.room.open_act(((0, 1),)),
        )
        course = Course(branch, self.room.facts)
        self._rests = [
            Rest(course, p, self.room.stocks) for p in range(len(branch.acts) + 1)
        ]
        self._found: dict[tuple[int, State], Path | None] = {}
        self._guided: dict[
            tuple[int, tuple[object, ...]], tuple[tuple[int, ...], Bounds]
        ] = {}
        self.states = self._states(self.stocked(spares))
        self._skin = SkinBound(self.states, self._rests, self.room.facts)

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

    def _numbered(self) -> list[tuple[int, int]]:
        """Return the acts that may be used, each with the first step it may follow."""
        seen: set[tuple[object, ...]] = set()
        numbers = []
        steps = [(p, a) for p, a in enumerate(self.branch.acts) if not a.opens]
        only_to_stop = ENDS_ASEPSIS.union(*(slip.first for slip in self.slips))
        moves = [(0, m) for i, m in self._moves.items() if i not in only_to_stop]
        for place, act in [*steps, *moves]:
            step = act.step
            if act.effect is None or step.verb in {*NEVER_REPEATED, SAY}:
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
        if found.ending != "way-back" or found.resumes <= found.place:
            return None
        place = found.place
        state = self.amid(place, found.slip)
        return self._from(_At(place, found.step, place), found.slip, state)

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
        before = final_state(found.start, found.acts[:at])
        slipped = self._slipping.at(act, before, applied(before, act), slip)
        if slipped is None:
            return None
        where = _At(found.place, act.step.id, found.resumes)
        return self._from(where, slip, slipped[0])

    def _from(self, at: _At, slip: Slip, state: State) -> WayBack:
        path = self.path(state, at.resumes) if slip.ending == "way-back" else None
        if path is None:
            return self._stopped(at, slip, state)
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
        said = applied(state, self._moves[SAY])
        key = (resumes, said)
        if key not in self._found:
            self._found[key] = self._searched(said, resumes)
        return self._found[key]

    def _searched(self, said: State, resumes: int) -> Path | None:
        rest = self._rests[resumes]
        if not rest.wanting(self.room.stocks.of_state(said)).enough:
            return None
        helpful, bare = self._guides(said, resumes)
        if self._relevance.is_hopeless(said, rest.acts, helpful):
            return None
        return cheapest(said, rest, self.room, helpful, bare)

    def _guides(self, said: State, resumes: int) -> tuple[tuple[int, ...], Bounds]:
        """Return the helpful acts and the bound; both are the same for any items."""
        key = (resumes, said[:-1])
        if key not in self._guided:
            rest = self._rests[resumes]
            allowed = [number for place, number in self._numbers if place <= resumes]
            helpful = tuple(
                self._relevance.helpful(said, rest.acts, rest.ends, allowed)
            )
            acts = [(number, self.room.facts.act(number)) for number in helpful]
            bare = self._skin.from_here(skin_of(said), resumes, acts)
            self._guided[key] = helpful, bare
        return self._guided[key]

    def _stopped(self, at: _At, slip: Slip, state: State) -> WayBack:
        lacking: tuple[tuple[str, int], ...] = ()
        because, ending = slip.stop or slip.because, slip.ending
        if ending == "way-back":
            ending = "stop"
            lacking = self.wanting(state, at.resumes)
            names = ", ".join(f"{count} × {item}" for item, count in lacking)
            because = "No order of steps mends it here."
            if lacking:
                because = f"Not in the room: {names}. {slip.stop}".strip()
        acts = [self._moves[i] for i in (SAY, *slip.first) if i in self._moves]
        if state.site in BARE or state.site == "doubtful":
            acts.append(self._moves["cover-and-call"])
        acts.append(self._moves["call-for-help"])
        ends = state
        for act in acts:
            ends = applied(ends, act)
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
        repeated = {act.step.id for act in found.acts}
        kept = []
        for place in range(found.resumes):
            step = self.branch.acts[place].step
            if step.id in repeated:
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
