"""A child's lines as surveillance sees them: where the tip lies, when first accessed.

Placing a line in an admission is access to it, but for a port. A line that came along
counts from its first access in this admission, so a line that is in for several
admissions is one tracked line for each. What shows an access beside an entry of its
own: a set that was hung, a port needle that was placed, a line charted as in use.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.outcomes.admissions import Admission, admissions_of
from lumenkeep.core.outcomes.line_spans import NO_KIND
from lumenkeep.core.outcomes.timeline import Moment, Timeline, TrackedLine, WardStay

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import datetime


ACCESSES = ("line-access", "set-change", "needle-change", "line-use")
PORT, NOT_YET = "port", "none"
ENDS_OF_USE = ("out", "down", "stopped")
"""What is done at a needle or a set that opens the line for nothing."""


@dataclass(slots=True)
class _Found:
    """What the entries say of one line."""

    key: str
    inserted: Entry | None = None
    removed: Entry | None = None
    tip: Entry | None = None
    accesses: tuple[Entry, ...] = ()
    unused: tuple[Entry, ...] = ()

    @property
    def entries(self) -> tuple[str, ...]:
        named = (self.inserted, self.tip, self.removed)
        return tuple(str(entry.id) for entry in named if entry is not None)


def tracked_lines(
    counted: Iterable[Entry],
    stays: tuple[WardStay, ...],
    moment: Callable[[datetime], Moment],
) -> tuple[TrackedLine, ...]:
    """Return the child's lines, once for each admission in which they were in.

    Parameters
    ----------
    counted
        Entries that stand, in the order in which things happened.
    stays
        The child's stays.
    moment
        Day and time of an instant on the ward's clock.
    """
    found: dict[str, _Found] = {}
    for entry in counted:
        if entry.line is not None:
            _note(found.setdefault(entry.line, _Found(entry.line)), entry)
    admissions = admissions_of(Timeline("", stays=stays))
    return tuple(
        tracked
        for line in found.values()
        if line.inserted is not None
        for tracked in _by_admission(line, line.inserted, admissions, moment)
    )


def _note(line: _Found, entry: Entry) -> None:
    if entry.kind == "line-inserted":
        line.inserted = entry
    elif entry.kind == "line-removed":
        line.removed = entry
    elif entry.kind in ACCESSES:
        if shows_access(entry):
            line.accesses = (*line.accesses, entry)
        elif entry.body.get("for") == NOT_YET:
            line.unused = (*line.unused, entry)
    elif entry.kind == "line-tip" and entry.body.get("tip") and not _is_central(line):
        # Once a central line it stays one until it is out, even if the tip moves.
        line.tip = entry


def shows_access(entry: Entry) -> bool:
    """Whether an entry says that the line was entered.

    A needle placed in a port enters it; taken out, it does not. The same holds of a
    set that is put up, and of one that is taken down or whose infusion has stopped.
    """
    body = entry.body
    if entry.kind == "line-use":
        return body.get("in_use") is True
    return body.get("doing") not in ENDS_OF_USE and body.get("for") != NOT_YET


def _is_central(line: _Found) -> bool:
    return line.tip is not None and line.tip.body.get("tip") == "great-vessel"


def _by_admission(
    line: _Found,
    inserted: Entry,
    admissions: tuple[Admission, ...],
    moment: Callable[[datetime], Moment],
) -> list[TrackedLine]:
    came = moment(inserted.happened_at)
    gone = moment(line.removed.happened_at) if line.removed else None
    here = [
        admission
        for admission in admissions
        if (admission.last is None or came.day <= admission.last)
        and (gone is None or gone.day >= admission.first)
    ]
    if not here:
        return [_tracked(line, inserted, came, gone, None, None)]
    parts = []
    for admission, following in zip(here, [*here[1:], None], strict=True):
        last = gone
        if following is not None and admission.last is not None:
            last = Moment(admission.last)
        accessed = unused = None
        if _counts_from_access(inserted, came, admission):
            accessed = _accessed(line, admission, moment)
            unused = _unused(line, admission, moment)
        parts.append(_tracked(line, inserted, came, last, accessed, unused))
    return parts


def _counts_from_access(inserted: Entry, came: Moment, admission: Admission) -> bool:
    kind = inserted.body.get("kind")
    return kind in (PORT, None) or not admission.holds(came.day)


def _accessed(
    line: _Found, admission: Admission, moment: Callable[[datetime], Moment]
) -> tuple[Entry, Moment] | None:
    for entry in line.accesses:
        at = moment(entry.happened_at)
        if admission.holds(at.day):
            return entry, at
    return None


def _unused(
    line: _Found, admission: Admission, moment: Callable[[datetime], Moment]
) -> tuple[Entry, Moment] | None:
    """Return the last entry of this admission that says it was not used so far."""
    told = [(entry, moment(entry.happened_at)) for entry in line.unused]
    here = [(entry, at) for entry, at in told if admission.holds(at.day)]
    return here[-1] if here else None


def _tracked(
    line: _Found,
    inserted: Entry,
    came: Moment,
    gone: Moment | None,
    accessed: tuple[Entry, Moment] | None,
    unused: tuple[Entry, Moment] | None,
) -> TrackedLine:
    entries = line.entries
    for told in (accessed, unused):
        if told is not None:
            entries = (*entries, str(told[0].id))
    return TrackedLine(
        line.key,
        str(inserted.body.get("kind") or NO_KIND),
        line.tip.body.get("tip") if line.tip else None,
        came,
        accessed[1] if accessed else None,
        access_is_told=accessed is not None,
        removed=gone,
        entries=entries,
        unused_until=unused[1] if unused else None,
    )
