"""A line's part of the count of line-days, as far as its facts are known.

What is not known of a line is taken as it counts most or as it counts least. More days
of a line never make an eligible line ineligible, so these two ends say what all cases
between them say, where they say the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.derivation import UnknownFact
from lumenkeep.core.outcomes.timeline import TrackedLine

if TYPE_CHECKING:
    from collections.abc import Collection

    from lumenkeep.core.outcomes.admissions import Admission
    from lumenkeep.core.outcomes.protocol import Protocol

KIND, TIP, INSERTED, ACCESS, REMOVED = (
    "line-kind", "line-tip", "line-inserted", "line-access", "line-removed",
)  # fmt: skip
NO_KIND = "kind not charted"
RULES = {KIND: "R3", TIP: "R2", INSERTED: "R5", ACCESS: "R4", REMOVED: "R6"}
CLAUSES = {
    KIND: "which kind of line {line} is",
    TIP: "where the tip of line {line} lies",
    INSERTED: "on which day line {line} was placed",
    ACCESS: "whether line {line} was accessed in this stay",
    REMOVED: "on which day line {line} was removed, if it was",
}
NAMED = {
    KIND: "which kind it is",
    TIP: "where the tip lies",
    INSERTED: "the day of insertion",
    ACCESS: "first access in this stay",
    REMOVED: "the day of removal",
}
ENDS = {
    KIND: (
        ("line {line} were no central line", "no central line"),
        ("line {line} were a central line", "a central line"),
    ),
    TIP: (
        ("the tip of line {line} lay elsewhere", "elsewhere"),
        ("the tip of line {line} lay in a great vessel", "in a great vessel"),
    ),
    INSERTED: (
        ("line {line} was placed late, or before the stay", "late, or before the stay"),
        ("line {line} was placed early in this stay", "early in this stay"),
    ),
    ACCESS: (
        ("line {line} was never accessed in this stay", "never"),
        (
            "line {line} was accessed from its first day here on",
            "from the first day on",
        ),
    ),
    REMOVED: (
        ("line {line} was removed early", "early"),
        ("line {line} is still in", "still in"),
    ),
}
"""What an unknown fact may be: as it counts least, and as it counts most."""


@dataclass(frozen=True, slots=True)
class CountedSpan:
    """One line's part of the count: its first and last day (None: still in).

    ``present`` is the first day on which it was there, accessed or not.
    """

    line: TrackedLine
    first: date
    last: date | None
    present: date


def is_port(line: TrackedLine, protocol: Protocol) -> bool:
    """Whether a line is an implanted port, whatever else its kind says."""
    return bool(set(line.kind.split("-")) & protocol.words["ports"])


def is_central(line: TrackedLine, protocol: Protocol) -> bool | None:
    """Whether a line is a central line; None where that is not known."""
    if line.kind in protocol.words["never_central"]:
        return False
    if line.kind in protocol.words["central_by_kind"]:
        return True
    if line.tip is not None and line.tip not in protocol.words["great_vessel"]:
        return False
    return None if line.tip is None or line.kind == NO_KIND else True


def unknown_of(line: TrackedLine, protocol: Protocol) -> tuple[str, ...]:
    """Return which facts of a line are not known that may matter."""
    central = is_central(line, protocol)
    if central is False:
        return ()
    port = is_port(line, protocol)
    lacks = {
        KIND: line.kind == NO_KIND,
        TIP: central is None and line.tip is None,
        INSERTED: line.inserted is None and not port,
        ACCESS: not line.access_is_told,
        REMOVED: not line.removal_is_told,
    }
    return tuple(fact for fact, is_unknown in lacks.items() if is_unknown)


def counted(
    line: TrackedLine,
    admission: Admission,
    protocol: Protocol,
    most: Collection[str] = (),
    born: date | None = None,
) -> CountedSpan | None:
    """Return a line's part of the count in an admission; None where it has none.

    Placing a line is access to it (R4), so one placed in this admission counts from
    that day, however much later it was first entered; a port counts from its access
    alone (R8). Access before the admission starts no count: it begins on hospital
    day 1.

    Parameters
    ----------
    most
        Those of its unknown facts that are taken as they count most; the others are
        taken as they count least.
    born
        Day of birth, before which no line is placed; None where not known.
    """
    unknown = unknown_of(line, protocol)
    central = is_central(line, protocol)
    if central is False or set(unknown) & {KIND, TIP} - set(most):
        return None
    port = is_port(line, protocol)
    accessed = line.first_access.day if line.first_access else None
    placed = None
    if not port:
        is_born_here = born is not None and born >= admission.first
        placed = _placed(line, accessed, admission, most, is_born_here=is_born_here)
    if ACCESS in unknown and ACCESS in most:
        told = (line.inserted, line.unused_until)
        accessed = max(admission.first, *(one.day for one in told if one is not None))
    start = None
    if placed is not None and admission.holds(placed):
        start = placed
    elif accessed is not None:
        start = max(accessed, admission.first)
    if start is None or not admission.holds(start):
        return None
    gone = _gone(line, accessed, most)
    if gone is not None and gone < start:
        return None
    ends = [day for day in (admission.last, gone) if day is not None]
    present = start if placed is None else max(placed, admission.first)
    return CountedSpan(line, start, min(ends, default=None), min(present, start))


def _placed(
    line: TrackedLine,
    accessed: date | None,
    admission: Admission,
    most: Collection[str],
    *,
    is_born_here: bool,
) -> date | None:
    """Return the day of placing; None where it is taken to lie before the admission.

    A line of a child born in the admission cannot have been placed before it, but on
    its last day.
    """
    if line.inserted is not None:
        return line.inserted.day
    if INSERTED in most:
        return admission.first if accessed is None else min(admission.first, accessed)
    if accessed is None and is_born_here and line.removed is not None:
        return line.removed.day
    return accessed


def _gone(
    line: TrackedLine, accessed: date | None, most: Collection[str]
) -> date | None:
    """Return the day of removal; None while the line is in."""
    if line.removal_is_told:
        return line.removed.day if line.removed else None
    if REMOVED in most:
        return None
    known = [line.inserted.day if line.inserted else None, accessed]
    return max((day for day in known if day is not None), default=date.min)


def asked(line: TrackedLine, fact: str, ways: tuple[str, ...] = ()) -> UnknownFact:
    """Return an unknown fact of a line in words."""
    name = line.id
    clause = CLAUSES[fact].format(line=name)
    named = f"line {name}: {NAMED[fact]}"
    answers = tuple((said.format(line=name), short) for said, short in ENDS[fact])
    return UnknownFact(fact, name, RULES[fact], clause, named, answers, ways)
