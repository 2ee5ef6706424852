"""A child's lines and findings as surveillance reads them from the chart.

Placing a line in an admission is access to it, but for a port. A line that came along
counts from its first access in this admission, so a line that is in for several
admissions is one tracked line for each. What shows an access beside an entry of its
own: a set that was hung, a port needle that was placed, a line charted as in use.

Every key of a body may be absent, which is unknown. What then says nothing that a rule
could use is left out; what a rule may ask for stays, with that fact open.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.outcomes.admissions import Admission, admissions_of
from lumenkeep.core.outcomes.line_spans import NO_KIND
from lumenkeep.core.outcomes.timeline import (
    CellCount,
    CircuitDevice,
    Dated,
    GutFinding,
    Moment,
    Noted,
    OtherInfection,
    SettledName,
    Sign,
    Timeline,
    TrackedLine,
    WardStay,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
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


TEMPERATURE, UNNAMED_SITE = "temperature", "other"


def condition(entry: Entry, at: Moment) -> Dated | None:
    """Return a condition documented."""
    kind = entry.body.get("kind")
    return Dated(kind, at.day, (str(entry.id),)) if kind else None


def transplant(entry: Entry, at: Moment) -> Dated | None:
    """Return a transplant."""
    del at
    kind, on = entry.body.get("kind"), entry.body.get("on")
    if not (kind and on):
        return None
    return Dated(kind, date.fromisoformat(on), (str(entry.id),))


def sign(entry: Entry, at: Moment) -> Sign | None:
    """Return a sign; degrees without a kind are a temperature."""
    celsius = entry.body.get("celsius")
    value = None if celsius is None else float(celsius)
    kind = entry.body.get("kind") or (TEMPERATURE if value is not None else None)
    return Sign(at, kind, value, (str(entry.id),)) if kind else None


def count(entry: Entry, at: Moment) -> CellCount | None:
    """Return a count of cells."""
    value = entry.body.get("per_mm3")
    kind = entry.body.get("kind") or "count"
    return (
        None if value is None else CellCount(at, kind, float(value), (str(entry.id),))
    )


def gut(entry: Entry, at: Moment) -> GutFinding | None:
    """Return what is known of the gut."""
    body = entry.body
    kind, grade, volume = body.get("kind"), body.get("grade"), body.get("ml_24h")
    if not kind or (grade is None and volume is None):
        return None
    mass = body.get("mass_kg")
    return GutFinding(at, kind, grade, volume, mass, (str(entry.id),))


def elsewhere(entry: Entry, at: Moment) -> OtherInfection | None:
    """Return an infection elsewhere; without a day nothing can be tied to it."""
    del at
    body = entry.body
    if not body.get("date_of_event"):
        return None
    window = body.get("window")
    return OtherInfection(
        body.get("kind") or UNNAMED_SITE,
        date.fromisoformat(body["date_of_event"]),
        (date.fromisoformat(window[0]), date.fromisoformat(window[1]))
        if window
        else None,
        tuple(body.get("organisms") or ()),
        body.get("blood_is_element"),
        (str(entry.id),),
        organisms_are_told=body.get("organisms") is not None,
    )


def pus(entry: Entry, at: Moment) -> Noted:
    """Return pus at a vascular site."""
    grown = entry.body.get("organisms")
    return Noted(
        at,
        "pus",
        entry.body.get("vascular_site"),
        tuple(grown or ()),
        (str(entry.id),),
        organisms_are_told=grown is not None,
    )


def self_injection(entry: Entry, at: Moment) -> Noted:
    """Return self-injection into the line."""
    return Noted(at, "self-injection", None, (), (str(entry.id),))


def settled(entry: Entry, at: Moment) -> SettledName | None:
    """Return what a person said an organism is."""
    del at
    name = entry.body.get("name")
    what = entry.body.get("known_as") or entry.body.get("is")
    return SettledName(name, what, (str(entry.id),)) if name and what else None


def devices(
    entries: Sequence[Entry], moment: Callable[[datetime], Moment]
) -> tuple[CircuitDevice, ...]:
    """Return each time a device was in; coming out without going in says nothing."""
    found: list[CircuitDevice] = []
    open_at: dict[str, int] = {}
    for entry in entries:
        kind, at = entry.body.get("kind"), moment(entry.happened_at)
        if not kind:
            continue
        place = open_at.get(kind)
        is_out = entry.body.get("doing") == "out"
        if not is_out and place is None:
            open_at[kind] = len(found)
            found.append(CircuitDevice(kind, at, None, (str(entry.id),)))
        elif is_out and place is not None:
            del open_at[kind]
            was = found[place]
            both = (*was.entries, str(entry.id))
            found[place] = CircuitDevice(kind, was.start, at, both)
    return tuple(found)
