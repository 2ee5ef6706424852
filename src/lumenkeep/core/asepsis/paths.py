"""The cheapest path from a state after a slip to one to resume from, each found once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.check import first_fault
from lumenkeep.core.asepsis.relevance import Relevance
from lumenkeep.core.asepsis.search import Path, cheapest
from lumenkeep.core.asepsis.skin import Bounds, SkinBound
from lumenkeep.core.asepsis.state import State, skin_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.rest import Rest
    from lumenkeep.core.asepsis.room import Room


class Paths:
    """The paths of one branch.

    Parameters
    ----------
    room
        Where moves are worked out.
    rests
        Steps to come, at each place.
    usable
        Acts that may be used, by number, each with the first step it may follow.
    ideal
        State at each place of the branch when nothing went wrong.
    """

    def __init__(
        self,
        room: Room,
        rests: Sequence[Rest],
        usable: Sequence[tuple[int, int]],
        ideal: Sequence[State],
    ) -> None:
        self._room = room
        self._rests = rests
        self._usable = usable
        self._relevance = Relevance(
            [(n, room.facts.act(n)) for _, n in usable],
            room.open_act(((0, 1),)),
            room.facts.duties,
        )
        self._skin = SkinBound(ideal, rests, room.facts)
        self._found: dict[tuple[int, State], Path | None] = {}
        self._guided: dict[
            tuple[int, tuple[object, ...]], tuple[tuple[int, ...], Bounds]
        ] = {}

    def path(self, said: State, resumes: int) -> Path | None:
        """Return the cheapest path from a state to one to resume from, None if none is.

        Parameters
        ----------
        said
            State after a slip, once it is said.
        resumes
            Place of the step that comes next.
        """
        key = (resumes, said)
        if key not in self._found:
            self._found[key] = self._dutiful(said, resumes)
        return self._found[key]

    def _dutiful(self, said: State, resumes: int) -> Path | None:
        """Return the cheapest path that does what is owed.

        Mostly the cheapest of all does it anyway: only where it does not, the search
        is made again with what is owed as a part of every state.
        """
        if not said.owes:
            return self._searched(said, resumes)
        key = (resumes, said._replace(owes=()))
        if key not in self._found:
            self._found[key] = self._searched(key[1], resumes)
        path = self._found[key]
        if path is None:
            return None
        acts = (*path.acts, *self._rests[resumes].acts)
        if not self._room.facts.duties.left(said.owes, acts):
            return path
        return self._searched(said, resumes)

    def _searched(self, said: State, resumes: int) -> Path | None:
        rest = self._rests[resumes]
        if not rest.wanting(self._room.stocks.of_state(said)).enough:
            return None
        helpful, bare = self._guides(said, resumes)
        hopeless = self._relevance.is_hopeless(said, rest.acts, helpful)
        if hopeless and not said.owes:
            return None
        path = cheapest(said, rest, self._room, helpful, bare)
        return None if path is None else self._filled_when_there(said, path, rest.acts)

    def _filled_when_there(
        self, said: State, path: Path, rest: tuple[Act, ...]
    ) -> Path:
        """Return the path with what is filled opened first, where no rule forbids it."""
        acts = list(path.acts)
        opened = [place for place, act in enumerate(acts) if act.opens]
        filled = [place for place, act in enumerate(acts) if act.step.verb == "prime"]
        if not opened or not filled or filled[0] > opened[-1]:
            return path
        first = acts.pop(filled[0])
        acts.insert(opened[-1], first)
        if first_fault(said, (*acts, *rest)) is not None:
            return path
        return replace(path, acts=tuple(acts))

    def _guides(self, said: State, resumes: int) -> tuple[tuple[int, ...], Bounds]:
        """Return the helpful acts and the bound; both are the same for any items."""
        key = (resumes, said[:-1])
        if key not in self._guided:
            rest = self._rests[resumes]
            allowed = [number for place, number in self._usable if place <= resumes]
            helpful = tuple(
                self._relevance.helpful(said, rest.acts, rest.ends, allowed)
            )
            acts = [(number, self._room.facts.act(number)) for number in helpful]
            bare = self._skin.from_here(skin_of(said), resumes, acts)
            self._guided[key] = helpful, bare
        return self._guided[key]
