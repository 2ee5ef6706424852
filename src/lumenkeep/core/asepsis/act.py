"""A step ready to be done: numbers looked up, with the rules that speak of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from lumenkeep.core.asepsis.procedure import AsepsisRule, Step
from lumenkeep.core.asepsis.state import State

CompiledRows = tuple[tuple[tuple[int, frozenset[str]], ...], ...]
"""Rows of facts by their place in the state; one row must hold."""


def any_row(rows: CompiledRows, state: State) -> bool:
    """Return whether one row of facts holds; no rows never do."""
    for row in rows:
        for place, words in row:
            if state[place] not in words:
                break
        else:
            return True
    return False


@dataclass(frozen=True, slots=True, eq=False)
class Test:
    """A rule for one step and, where it speaks of hands or mask, one person.

    ``places`` are the facts it speaks of, by their place in the state.
    """

    rule: AsepsisRule
    person: str
    given: CompiledRows
    needs: CompiledRows
    places: frozenset[int]

    def is_broken(self, state: State) -> bool:
        """Return whether the step breaks the rule in this state."""
        if self.given and not any_row(self.given, state):
            return False
        return not any_row(self.needs, state)

    def words(self, state: State) -> tuple[object, ...]:
        """Return the words it speaks of, in an order of its own."""
        return tuple([state[place] for place in self.places])


def breaks_any(tests: tuple[Test, ...], state: State) -> bool:
    """Return whether one of some tests is broken; `Test.is_broken` for many at once."""
    for test in tests:
        if test.given and not any_row(test.given, state):
            continue
        if not any_row(test.needs, state):
            return True
    return False


@dataclass(frozen=True, slots=True, eq=False)
class Act:
    """A step ready to be done.

    Attributes
    ----------
    uses, opens
        Items by their place in the state's list, with counts.
    from_field
        Whether each item of the branch is taken from the field.
    short
        Its seconds are fewer than the plan, the hands or the tract need.
    lean
        It scrubs the skin with fewer swabs than the plan says.
    few
        It takes fewer pairs of gloves, or masks, than people put them on.
    said
        What a rule may ask of it, as `rules.said_of` tells it.
    leaves_residue, may_pool
        Whether a scrub leaves what is to be taken off again; whether it may run into
        folds and under a small baby, so that somebody must look.
    """

    step: Step
    seconds: int
    people: tuple[str, ...]
    effect: Effect | None
    uses: tuple[tuple[int, int], ...]
    opens: tuple[tuple[int, int], ...]
    from_field: tuple[bool, ...]
    short: bool
    lean: bool
    few: bool
    leaves_residue: bool
    may_pool: bool
    tests: tuple[Test, ...]
    said: Mapping[str, frozenset[str]] | None = None

    @property
    def takes_from_field(self) -> bool:
        """Whether something on the field is used."""
        return any(self.from_field[place] for place, _ in self.uses)


Effect = Callable[[State, Act, str], State]
"""What a verb does: state, act and person in, state out."""
