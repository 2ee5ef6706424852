"""Which acts can help from one state, told backwards from what is wrong.

What the rest of the procedure would break gives the facts that must change. An act
that aims at one of them is taken up; what it needs, and what it may spoil, gives
further facts; and so on until nothing is added.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.core.asepsis.aims import Pair, aims, first, may_change
from lumenkeep.core.asepsis.effects import applied
from lumenkeep.core.asepsis.state import INDEX, STATE_WORDS, State, words_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from lumenkeep.core.asepsis.act import Act, CompiledRows, Test
    from lumenkeep.core.asepsis.duties import Duties

NAMES = State._fields
TO_COME = -1
"""In place of an act's number: it is a step still to come, not one to be chosen."""
Met = dict[tuple[str, str, tuple[object, ...]], tuple["Test", State]]
"""Tests with a state each meets, once for every choice of the words they speak of."""


class _Known(NamedTuple):
    """An act with its number, what it aims at, and the facts it can change."""

    number: int
    act: Act
    aims: frozenset[Pair]
    changes: frozenset[str]


class Relevance:
    """The acts of one branch with their aims worked out."""

    def __init__(
        self, acts: Sequence[tuple[int, Act]], opening: Act, duties: Duties
    ) -> None:
        self.duties = duties
        self.acts = [_known(number, act) for number, act in acts]
        self.opening = opening
        self._to_come: dict[Act, _Known] = {}

    def helpful(
        self,
        start: State,
        rest: Sequence[Act],
        ends: CompiledRows,
        allowed: Iterable[int],
    ) -> list[int]:
        """Return the acts, by number, that may help from ``start`` to the rest.

        Parameters
        ----------
        start
            State to mend.
        rest, ends
            Steps to come, and the rows of which one must hold after them.
        allowed
            Acts to choose from.
        """
        wanted, tests = _wrong(start, rest, ends)
        for entry in self.acts if start.owes else ():
            if self.duties.is_owed(entry.act, start.owes):
                wanted |= entry.aims
        tests |= _met(self.opening.tests, start)
        for test in self.opening.tests:
            wanted |= _wanted_by(test, start, set())
        free: set[int] = set()
        taken: set[int] = set()
        among = set(allowed)
        left = [entry for entry in self.acts if entry.number in among]
        while new := [entry for entry in left if not wanted.isdisjoint(entry.aims)]:
            left = [entry for entry in left if entry not in new]
            taken.update(entry.number for entry in new)
            fresh = {INDEX[fact] for entry in new for fact in entry.changes}
            free |= fresh
            wanted |= _wanted_of([entry.act for entry in new], start, free)
            for entry in new:
                tests |= _met(entry.act.tests, start)
            for test, state in tests.values():
                if not fresh.isdisjoint(test.places):
                    wanted |= _wanted_by(test, state, free)
        return [entry.number for entry in self.acts if entry.number in taken]

    def is_hopeless(
        self, start: State, rest: Sequence[Act], helpful: Iterable[int]
    ) -> bool:
        """Return whether no order of the helpful acts can mend what the rest breaks.

        Every word that an act can reach stays reached, and so does what the rest itself
        then reaches, so that a yes is sure; a no is for the search to decide.
        """
        taken = set(helpful)
        spoken_for = _used_by(rest)
        acts = [
            entry
            for entry in self.acts
            if entry.number in taken and _has_items(start, entry.act, spoken_for)
        ]
        acts += [self._later(act) for act in rest if act.effect is not None]
        reached: list[set[str]] = [{word} for word in words_of(start)]
        while usable := [entry for entry in acts if _may_be_done(entry.act, reached)]:
            acts = [entry for entry in acts if entry not in usable]
            for entry in usable:
                for fact, word in entry.aims:
                    reached[INDEX[fact]].add(word)
                for fact in _spoilt_too(entry.act):
                    reached[INDEX[fact]].update(STATE_WORDS[fact])
        broken, walked = _walked(start, rest)
        passed = [a | b for a, b in zip(walked, reached, strict=True)]
        return any(not _can_hold(test, passed) for test in broken)

    def _later(self, act: Act) -> _Known:
        found = self._to_come.get(act)
        if found is None:
            found = self._to_come[act] = _known(TO_COME, act)
        return found


def _known(number: int, act: Act) -> _Known:
    return _Known(number, act, aims(act), may_change(act))


def _walked(start: State, rest: Sequence[Act]) -> tuple[list[Test], list[set[str]]]:
    """Return the tests that a plain walk breaks, and every word it passes through."""
    words: list[set[str]] = [{word} for word in words_of(start)]
    broken: list[Test] = []
    state = start
    for act in rest:
        broken += [test for test in act.tests if test.is_broken(state)]
        state = applied(state, act)
        for place, word in enumerate(words_of(state)):
            words[place].add(word)
    return broken, words


def _met(tests: Iterable[Test], state: State) -> Met:
    return {
        (test.rule.id, test.person, test.words(state)): (test, state) for test in tests
    }


def _wanted_of(acts: Sequence[Act], start: State, free: set[int]) -> set[Pair]:
    """Return what acts want before they can be done, and do anything."""
    wanted: set[Pair] = set()
    met: dict[tuple[str, str], Test] = {}
    for act in acts:
        wanted |= _first_of(act, start)
        for test in act.tests:
            met.setdefault((test.rule.id, test.person), test)
    for test in met.values():
        wanted |= _wanted_by(test, start, free)
    return wanted


def _first_of(act: Act, state: State) -> set[Pair]:
    """Return the words without which an act does nothing in a state."""
    return {
        (fact, word)
        for fact, words in first(act).items()
        if getattr(state, fact) not in words
        for word in words
    }


def _spoilt_too(act: Act) -> Iterable[str]:
    return may_change(act) - {fact for fact, _ in aims(act)}


def _used_by(acts: Sequence[Act]) -> dict[int, int]:
    counts: dict[int, int] = {}
    for act in acts:
        for place, count in act.uses:
            counts[place] = counts.get(place, 0) + count
    return counts


def _has_items(state: State, act: Act, spoken_for: Mapping[int, int]) -> bool:
    """Return whether an act finds its items, and leaves those spoken for."""
    for place, count in act.uses:
        lot = state.items[place]
        there = lot.sealed + (lot.ready if act.from_field[place] else 0)
        if min(there, lot.sealed + lot.ready - spoken_for.get(place, 0)) < count:
            return False
    return True


def _may_be_done(act: Act, reached: list[set[str]]) -> bool:
    for fact, words in first(act).items():
        if reached[INDEX[fact]].isdisjoint(words):
            return False
    return all(_can_hold(test, reached) for test in act.tests)


def _can_hold(test: Test, reached: list[set[str]]) -> bool:
    """Return whether a test may be unbroken with some of the words reached."""
    for row in test.needs:
        if all(not reached[place].isdisjoint(words) for place, words in row):
            return True
    return bool(test.given) and all(
        any(not reached[place] <= words for place, words in row) for row in test.given
    )


def _wrong(
    start: State, rest: Sequence[Act], ends: CompiledRows
) -> tuple[set[Pair], Met]:
    """Return what the rest wants changed, and its tests with the state each meets."""
    wanted: set[Pair] = set()
    tests: Met = {}
    state = start
    for act in rest:
        tests |= _met(act.tests, state)
        wanted |= _first_of(act, state)
        state = applied(state, act)
    for test, met in tests.values():
        if test.is_broken(met):
            wanted |= _all_of(test, met)
    return wanted | _outside(ends, state), tests


def _outside(rows: CompiledRows, state: State) -> set[Pair]:
    """Return the words of the rows that the state does not have."""
    return {
        (NAMES[place], word)
        for row in rows
        for place, words in row
        if state[place] not in words
        for word in words
    }


def _otherwise(rows: CompiledRows, places: Collection[int] | None) -> set[Pair]:
    """Return the words by which rows would no longer hold; only of some facts if said."""
    return {
        (NAMES[place], word)
        for row in rows
        for place, words in row
        if places is None or place in places
        for word in STATE_WORDS[NAMES[place]]
        if word not in words
    }


def _all_of(test: Test, state: State) -> set[Pair]:
    """Return every word by which a broken test would no longer be broken."""
    return _outside(test.needs, state) | _otherwise(test.given, None)


def _wanted_by(test: Test, state: State, free: set[int]) -> set[Pair]:
    """Return what a test wants that may be broken once some facts are no longer sure."""
    if not _may_break(test, state, free):
        return set()
    if test.is_broken(state):
        return _all_of(test, state)
    needs = {
        (NAMES[place], word)
        for row in test.needs
        for place, words in row
        if place in free
        for word in words
    }
    return needs | _otherwise(test.given, free)


def _may_break(test: Test, state: State, free: set[int]) -> bool:
    if test.given and not any(
        all(place in free or state[place] in words for place, words in row)
        for row in test.given
    ):
        return False
    return not any(
        all(place not in free and state[place] in words for place, words in row)
        for row in test.needs
    )
