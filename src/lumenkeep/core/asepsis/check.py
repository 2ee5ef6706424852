"""Walk a branch step by step and say each rule that it breaks.

A break names the step, the rule, the state the step met, and what to move so that it
no longer does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.act import any_row, breaks_any
from lumenkeep.core.asepsis.branch import times_of
from lumenkeep.core.asepsis.effects import applied, lacking
from lumenkeep.core.asepsis.heads import head_faults
from lumenkeep.core.asepsis.rules import BranchActs
from lumenkeep.core.asepsis.state import State, in_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.asepsis.act import Act, CompiledRows, Test
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.endings import Ending
    from lumenkeep.core.asepsis.procedure import Needed

SINGLE_USE = "R-A14"
END = "end"
NO_RESET = "no-reset"
SAFE_END = "safe-end"
NOT_ASEPTIC = ("not-aseptic", "doubtful", "covered-wet")


@dataclass(frozen=True, slots=True)
class Break:
    """A rule that a step breaks.

    Attributes
    ----------
    step
        Its id; "end" where the last state is not one to end in.
    rule, table
        Rule of asepsis (as R-A12), and id of the table that says it.
    says
        What the rule asks.
    state
        The facts it speaks of, as they were.
    mend
        What to move, or to do before.
    """

    step: str
    rule: str
    table: str
    says: str
    state: str
    mend: str


@dataclass(frozen=True, slots=True)
class Walk:
    """What a walk found: the breaks, and the state after each step."""

    breaks: tuple[Break, ...]
    states: tuple[State, ...]

    @property
    def is_sound(self) -> bool:
        """Whether no rule is broken."""
        return not self.breaks


def first_fault(state: State, acts: Sequence[Act]) -> tuple[int, State] | None:
    """Return where a walk first breaks a rule or lacks an item, and the state there.

    None where it does not. The quick form of `walk`, for searches.
    """
    for place, act in enumerate(acts):
        if breaks_any(act.tests, state) or (act.uses and lacking(state, act)):
            return place, state
        state = applied(state, act)
    return None


def final_state(state: State, acts: Sequence[Act]) -> State:
    """Return the state after the acts."""
    for act in acts:
        state = applied(state, act)
    return state


def walk(branch: Branch, start: State | None = None) -> Walk:
    """Return every rule that a branch breaks, each table once.

    Parameters
    ----------
    branch
        Steps in order.
    start
        State to begin in; the branch's own where None.
    """
    state = branch.start if start is None else start
    breaks: list[Break] = []
    states: list[State] = []
    said: set[str] = set()
    for place, act in enumerate(branch.acts):
        for test in act.tests:
            if test.rule.id not in said and test.is_broken(state):
                said.add(test.rule.id)
                breaks.append(_break(branch, place, test, state))
        missing = lacking(state, act)
        if missing:
            breaks.append(_missing(branch, act, missing))
        state = applied(state, act)
        states.append(state)
    if branch.ends and not any_row(branch.ends, state):
        breaks.append(_bad_end(branch.ends, state))
    breaks += [
        _unsafe(ending, state)
        for ending in branch.maker.endings
        if ending.is_unsafe(state)
    ]
    if start is None:
        breaks += [_forgotten(one, branch) for one in forgotten(branch)]
        breaks += [
            Break(
                one.at, one.head.rule, one.head.id, one.head.says, one.state, one.mend
            )
            for one in head_faults(branch, state)
        ]
    if branch.resets and state.site in NOT_ASEPTIC:
        breaks.append(_bad_reset(branch.resets, state))
    return Walk(tuple(breaks), tuple(states))


def _facts_of(*rows: CompiledRows) -> tuple[str, ...]:
    places = {place for group in rows for row in group for place, _ in row}
    return tuple(State._fields[place] for place in sorted(places))


def _break(branch: Branch, place: int, test: Test, state: State) -> Break:
    act = branch.acts[place]
    return Break(
        step=act.step.id,
        rule=test.rule.rule,
        table=test.rule.id,
        says=test.rule.says,
        state=in_words(state, _facts_of(test.given, test.needs)),
        mend=_mend(branch, place, test, state),
    )


def _mend(branch: Branch, place: int, test: Test, state: State) -> str:
    """Return what to move: a later step that would have helped, or an earlier one."""
    here = branch.acts[place].step.id
    if test.needs:
        for later in branch.acts[place + 1 :]:
            if _helps(later, test, state):
                return f"Move {later.step.id} to before {here}. {test.rule.mend}"
        for earlier in reversed(branch.acts[:place]):
            if _helps(earlier, test, state):
                return f"Repeat {earlier.step.id} before {here}. {test.rule.mend}"
    return test.rule.mend


def _helps(act: Act, test: Test, state: State) -> bool:
    if any(other.is_broken(state) for other in act.tests):
        return False
    return not test.is_broken(applied(state, act))


def _missing(branch: Branch, act: Act, missing: tuple[tuple[int, int], ...]) -> Break:
    names = ", ".join(f"{count} × {branch.items[place]}" for place, count in missing)
    return Break(
        step=act.step.id,
        rule=SINGLE_USE,
        table="single-use",
        says="Everything is used once; what was not opened on to the field is not there.",
        state=f"lacking {names}",
        mend="Open it earlier, on to a field that is open, or count one more of it.",
    )


def _bad_end(ends: CompiledRows, state: State) -> Break:
    ends = _lacking(ends, state)
    return Break(
        step=END,
        rule=END,
        table=END,
        says="The last step leaves a state that nobody may leave the child in.",
        state=in_words(state, _facts_of(ends)),
        mend="Add the steps that reach: " + _rows_in_words(ends),
    )


def _lacking(rows: CompiledRows, state: State) -> CompiledRows:
    """Return of each row what does not hold, of the rows that lack the fewest facts."""
    lacks = [
        tuple((at, words) for at, words in row if state[at] not in words)
        for row in rows
    ]
    fewest = min(map(len, lacks), default=0)
    return tuple(dict.fromkeys(row for row in lacks if len(row) == fewest))


def _unsafe(ending: Ending, state: State) -> Break:
    return Break(
        step=END,
        rule=SAFE_END,
        table=ending.rule.id,
        says=ending.rule.says,
        state=in_words(state, _facts_of(ending.given, ending.needs)),
        mend="Add the steps that reach: "
        + _rows_in_words(_lacking(ending.needs, state)),
    )


def forgotten(branch: Branch) -> list[Needed]:
    """Return the steps that a branch must not forget and that are not in their place."""
    told = BranchActs(branch.acts)
    return [
        one
        for one in branch.maker.needed
        if not _is_there(
            one, told, times_of(one.times, branch.setting) if one.times else 1
        )
    ]


def _is_there(needed: Needed, told: BranchActs, times: int) -> bool:
    if needed.every:
        return _unfollowed(needed, told) is None
    first = max(told.places(needed.after), default=-1) if needed.after else -1
    last = _first_after(needed, told)
    found = [place for place in told.places(needed.on) if first < place < last]
    return len(found) >= times


def _first_after(needed: Needed, told: BranchActs) -> int:
    """Return where the first step stands that it must stand before."""
    before = told.places(needed.before) if needed.before else ()
    return min(before, default=len(told.said))


def _unfollowed(needed: Needed, told: BranchActs) -> int | None:
    """Return the first step that is not followed as each of its kind must be."""
    after, there = told.places(needed.after), told.places(needed.on)
    before = told.places(needed.before) if needed.before else ()
    for place in after:
        end = min((p for p in (*after, *before) if p > place), default=len(told.said))
        if not any(place < p < end for p in there):
            return place
    return None


def _forgotten(needed: Needed, branch: Branch) -> Break:
    told = BranchActs(branch.acts)
    place = _unfollowed(needed, told) if needed.every else _first_after(needed, told)
    at_end = place is None or place == len(branch.acts)
    return Break(
        step=END if place is None or at_end else branch.acts[place].step.id,
        rule=needed.rule,
        table=needed.id,
        says=needed.says,
        state="no such step in its place",
        mend=needed.mend,
    )


def _bad_reset(resets: tuple[str, ...], state: State) -> Break:
    return Break(
        step=END,
        rule=NO_RESET,
        table=NO_RESET,
        says="What ends covered but not aseptic starts no due time anew.",
        state=in_words(state, ("site",)),
        mend=f"Take {', '.join(resets)} out of 'resets'.",
    )


def _rows_in_words(rows: CompiledRows) -> str:
    return "; or ".join(
        ", ".join(
            f"{State._fields[place].replace('_', ' ')} {' or '.join(sorted(words))}"
            for place, words in row
        )
        for row in rows
    )
