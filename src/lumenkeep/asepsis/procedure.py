"""What a procedure, a rule of asepsis and a slip are, once they are read.

Plain frozen values. Seconds and counts name numbers of the policy; they are looked up
when a branch is laid out (`branch.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lumenkeep.policy.numbers import Number
from lumenkeep.policy.rules import Source

Row = tuple[tuple[str, frozenset[str]], ...]
"""Facts with the words allowed for each; all must hold."""
Rows = tuple[Row, ...]
"""Rows of which one must hold."""


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition of a step on the change plan: fact, words, and whether wanted."""

    fact: str
    words: frozenset[str]
    wanted: bool


When = tuple[tuple[Condition, ...], ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step as written.

    Attributes
    ----------
    objects, touches
        What it is about; what a hand or glove lies on while it is done.
    uses, opens
        Items used up, and items that the assistant lets fall on to the field, with
        counts (a whole number, or ``plan.swabs``). ``opens_all`` opens whatever
        later steps take from the field.
    manner
        How it is done, in words of a closed list.
    seconds
        Id of the number of its least time, or ``plan.scrub`` and the like; None
        where no source gives one.
    look, charted
        What is looked at, and what is charted of it.
    """

    id: str
    actor: str
    verb: str
    says: str
    objects: tuple[str, ...]
    touches: tuple[str, ...]
    uses: tuple[tuple[str, int | str], ...]
    opens: tuple[tuple[str, int | str], ...]
    opens_all: bool
    manner: tuple[str, ...]
    seconds: str | None
    look: str | None
    charted: tuple[str, ...]
    because: str
    source: str
    how: str | None
    where: str
    when: When


@dataclass(frozen=True, slots=True)
class Item:
    """Something that is opened or used: where it lies, and the plan's word for it."""

    id: str
    label: str
    place: str
    supply: str | None
    source: str
    how: str | None
    where: str


@dataclass(frozen=True, slots=True)
class Procedure:
    """A procedure with the shared parts put in.

    Attributes
    ----------
    starts, ends
        Facts before the first step; rows of which one must hold after the last.
    vary
        Facts of the setting, and the words each may take, that make its branches.
    branches
        Named settings that are shown by name.
    resets
        Due tasks that it counts for; empty where it resets none.
    """

    id: str
    title: str
    steps: tuple[Step, ...]
    starts: tuple[tuple[str, str], ...]
    ends: Rows
    vary: tuple[tuple[str, tuple[str, ...]], ...]
    branches: tuple[tuple[str, tuple[tuple[str, tuple[str, ...]], ...]], ...]
    resets: tuple[str, ...]
    because: str
    source: str
    where: str


@dataclass(frozen=True, slots=True)
class AsepsisRule:
    """A rule of asepsis as a table.

    A step breaks it that matches ``on``, in a state of one row of ``given`` (none:
    any state), unless one row of ``needs`` holds (none: never allowed).
    """

    id: str
    rule: str
    says: str
    on: Mapping[str, tuple[str, ...]]
    given: Rows
    needs: Rows
    mend: str
    because: str
    source: str
    how: str | None
    where: str
    when: When


@dataclass(frozen=True, slots=True)
class Effect:
    """What a slip does: facts it sets where a row of ``given`` holds."""

    given: Rows
    sets: tuple[tuple[str, str], ...]
    loses: str | None


@dataclass(frozen=True, slots=True)
class Slip:
    """One kind of slip.

    Attributes
    ----------
    verbs
        Verbs at which it can happen; empty for any.
    given
        States in which it can happen.
    effects
        What it spoils.
    ending
        "way-back" where one is searched, "stop" or "leave" where it always ends so.
    stop
        When to stop, cover and call, in words.
    first
        Moves, by id, that are done at once where it stops, before the site is covered.
    often
        Id of the assumed frequency (count in 1000 steps at which it can happen).
    when
        Conditions on the change plan.
    """

    id: str
    number: int
    says: str
    breaks: tuple[str, ...]
    verbs: tuple[str, ...]
    given: Rows
    effects: tuple[Effect, ...]
    ending: str
    redo: str
    keep: str
    stop: str
    first: tuple[str, ...]
    often: str
    because: str
    source: str
    how: str | None
    where: str
    when: When


@dataclass(frozen=True, slots=True)
class Spare:
    """Something that lies in the room beyond what the steps use (count)."""

    item: str
    count: int
    because: str
    source: str
    where: str = ""


@dataclass(frozen=True, slots=True)
class Bedside:
    """Everything a set says about procedures: its files, read and checked."""

    procedures: Mapping[str, Procedure]
    items: Mapping[str, Item]
    rules: tuple[AsepsisRule, ...]
    slips: tuple[Slip, ...]
    moves: tuple[Step, ...]
    room: tuple[Spare, ...]
    numbers: Mapping[str, Number]
    sources: Mapping[str, Source]
    vary: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
