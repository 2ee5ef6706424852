"""What a procedure, a rule of asepsis and a slip are, once they are read.

Plain frozen values. Seconds and counts name numbers of the policy; they are looked up
when a branch is laid out (`branch.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lumenkeep.core.asepsis.head import ProcedureHead, ProcedureKind
from lumenkeep.core.asepsis.when import Rows, When
from lumenkeep.core.policy.numbers import Number
from lumenkeep.core.policy.rules import Source


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
    after
        Id of the step of a shared part that it follows; None for its place in the
        file.
    once
        Whether it is never done again on a way back: its sentence fits one moment.
    says_first
        What a guide shows instead while nothing of what it charts was charted before.
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
    after: str | None = None
    once: bool = False
    says_first: str | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """Something that is opened or used: where it lies, and the plan's word for it.

    ``also`` are rows of the plan that lay out more of the same for another reason.
    ``size_of`` is whom it must fit: the operator, the assistant, or "film" for the
    child; None where one fits all.
    """

    id: str
    label: str
    place: str
    supply: str | None
    also: tuple[str, ...]
    size_of: str | None
    source: str
    how: str | None
    where: str


@dataclass(frozen=True, slots=True)
class Repeat:
    """Steps that are done again and again: from one to another, once for each.

    Attributes
    ----------
    first, last
        Ids of the first and the last of them.
    each
        Fact of the setting whose word is how often, as ``lumens``.
    called
        What is counted, as it begins the sentence: "Lumen 2 of 3".
    """

    first: str
    last: str
    each: str
    called: str


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
    repeat
        Steps that are done once for each of something; None where there are none.
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
    repeat: Repeat | None = None


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

    def __hash__(self) -> int:
        """Return a number by which a rule is found again; its table has none."""
        return hash((self.id, self.where))


@dataclass(frozen=True, slots=True)
class Effect:
    """What a slip does: facts it sets where a row of ``given`` holds."""

    given: Rows
    sets: tuple[tuple[str, str], ...]
    loses: str | None


@dataclass(frozen=True, slots=True)
class Duty:
    """An act that a slip asks of the way back: what it is, and when it is asked."""

    on: Mapping[str, tuple[str, ...]]
    given: Rows

    def __hash__(self) -> int:
        """Return a number by which a duty is found again; its table has none."""
        return hash((tuple(self.on.items()), self.given))


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
    must
        What ``redo`` and ``keep`` ask for, in order: acts of the way back or of the
        steps after it, or of a stop.
    stops
        States after it in which it has no way back, and always stops.
    twice
        "stop" where it has no way back a second time.
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
    must: tuple[Duty, ...] = ()
    stops: Rows = ()
    twice: str | None = None


@dataclass(frozen=True, slots=True)
class SafeEnding:
    """What must hold where a procedure ends, or is left: a child is never left otherwise.

    In a state of one row of ``given`` one row of ``needs`` must hold. ``does`` are the
    moves, by id, that reach it where somebody stops.
    """

    id: str
    says: str
    given: Rows
    needs: Rows
    does: tuple[str, ...]
    because: str
    source: str
    how: str | None
    where: str
    when: When


@dataclass(frozen=True, slots=True)
class Needed:
    """A step that a procedure must not forget, and where it stands.

    A step that matches ``on`` is there, after the last that matches ``after`` and
    before the first that matches ``before``; either may be empty.

    Attributes
    ----------
    every
        Whether such a step follows each that matches ``after``, before the next of them
        and before the next that matches ``before``.
    times
        Fact of the setting whose word says how many such steps there are; None for one.
    """

    id: str
    rule: str
    says: str
    on: Mapping[str, tuple[str, ...]]
    after: Mapping[str, tuple[str, ...]]
    before: Mapping[str, tuple[str, ...]]
    mend: str
    because: str
    source: str
    how: str | None
    where: str
    when: When
    every: bool = False
    times: str | None = None


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
    """Everything a set says about procedures: its files, read and checked.

    Attributes
    ----------
    parts
        Ids of the shared parts, by the file in which their steps lie.
    of_core
        Kind and id of what the set leaves out and counts all the same.
    """

    procedures: Mapping[str, Procedure]
    items: Mapping[str, Item]
    rules: tuple[AsepsisRule, ...]
    slips: tuple[Slip, ...]
    moves: tuple[Step, ...]
    room: tuple[Spare, ...]
    numbers: Mapping[str, Number]
    sources: Mapping[str, Source]
    safe: tuple[SafeEnding, ...] = ()
    needed: tuple[Needed, ...] = ()
    heads: tuple[ProcedureHead, ...] = ()
    kinds: tuple[ProcedureKind, ...] = ()
    parts: Mapping[str, str] = field(default_factory=dict)
    of_core: frozenset[tuple[str, str]] = frozenset()

    @property
    def checks(self) -> tuple[AsepsisRule | SafeEnding | Needed | ProcedureHead, ...]:
        """Everything that a branch is checked by, each with its conditions."""
        return (*self.rules, *self.safe, *self.needed, *self.heads)
