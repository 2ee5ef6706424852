"""One dressing's life: from when it was put on to what ended it, by the chart's entries.

A dressing has failed when it was found so, not when somebody had time to change it. A
planned change is no failure. Where the chart does not say why a dressing was changed,
that is an end of its own: it is neither a failure nor a planned change.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo
from enum import StrEnum
from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import birth_from_text, standing
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.facts import NEVER_CHARTED, SAID_UNKNOWN, Fact
from lumenkeep.core.model.quantities import SECONDS_PER_DAY
from lumenkeep.core.model.times import Birth, utc

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

KINDS_READ = (
    "birth",
    "stay",
    "line-inserted",
    "dressing-change",
    "finding",
    "re-cover",
    "line-removed",
)
"""Kinds of entry that say something of a dressing's life."""
PLANNED_WORD, EARLY_WORD = "planned", "early"


class End(StrEnum):
    """What ended a dressing's life."""

    FAILED = "failed"
    PLANNED = "planned"
    LINE_OUT = "line-out"
    EARLY = "early"
    UNKNOWN = "unknown"
    STILL_ON = "still-on"


@dataclass(frozen=True, slots=True)
class FailureWords:
    """Which words of the chart say that a dressing failed.

    Attributes
    ----------
    found
        Findings that mean it has failed from the moment they were seen.
    changed
        Reasons of a change that mean it had failed by then.
    """

    found: frozenset[str]
    changed: frozenset[str]


@dataclass(frozen=True, slots=True)
class DressingSpell:
    """One dressing from being put on to its end.

    Attributes
    ----------
    child, line
        Pseudonymous keys.
    kind, site, line_kind, ward
        What it was, where, on which line and ward when it was put on.
    born
        Of the child.
    put_on_at, ended_at
        Instants (UTC); the end of one still on is the end of watching.
    end
        What ended it.
    finding
        What was found, where it failed and that is known.
    is_first
        Whether it was put on when the line was inserted.
    charted_planned
        Whether the change was charted as planned although it had failed before.
    entries
        Ids of the entries it rests on: put on, found, ended.
    """

    child: str
    line: str
    kind: Fact[str]
    site: Fact[str]
    line_kind: Fact[str]
    ward: Fact[str]
    born: Fact[Birth]
    put_on_at: datetime
    ended_at: datetime
    end: End
    finding: str | None = None
    is_first: bool = False
    charted_planned: bool = False
    entries: tuple[int, ...] = ()

    @property
    def days(self) -> float:
        """How long it lasted, in days of 24 hours."""
        return (self.ended_at - self.put_on_at).total_seconds() / SECONDS_PER_DAY


@dataclass(frozen=True, slots=True)
class LineSpells:
    """The dressings of one line, oldest first.

    ``without_start`` holds ids of the entries that ended a dressing of which nobody
    charted when it was put on: those have no length and are not among the spells.
    """

    spells: tuple[DressingSpell, ...]
    without_start: tuple[int, ...] = ()


def spells_of_child(
    entries: Sequence[Entry],
    until: datetime,
    zones: Mapping[str, tzinfo],
    words: FailureWords,
) -> tuple[LineSpells, ...]:
    """Return the dressings of each line of one child.

    Parameters
    ----------
    entries
        Of one child and all its lines, in any order, corrected ones included.
    until
        When watching ends (UTC); what happened later is left out.
    zones
        Zone by ward key; a birth of which only the date is known is read in the zone
        of the child's first ward.
    words
        What counts as a failure.
    """
    counted = [e for e in standing(entries) if e.happened_at <= until]
    # What was seen at the moment of a change belongs to the dressing that came off.
    counted.sort(key=lambda e: (e.happened_at, e.kind != "finding", e.id))
    told = _told(counted, zones)
    return tuple(
        _of_line([e for e in counted if e.line == line], until, told, words)
        for line in dict.fromkeys(e.line for e in counted if e.line is not None)
    )


@dataclass(frozen=True, slots=True)
class _Told:
    """What the child's own entries say: birth, and the ward from each instant on."""

    born: Fact[Birth]
    stays: tuple[tuple[datetime, Fact[str]], ...]

    def ward_at(self, at: datetime) -> Fact[str]:
        found: Fact[str] = NEVER_CHARTED
        for since, ward in self.stays:
            if since <= at:
                found = ward
        return found


def _told(counted: Iterable[Entry], zones: Mapping[str, tzinfo]) -> _Told:
    stays: list[tuple[datetime, Fact[str]]] = []
    birth: str | None = None
    was_charted = False
    for entry in counted:
        if entry.kind == "stay":
            stays.append((entry.happened_at, entry.body.get("ward") or SAID_UNKNOWN))
        elif entry.kind == "birth":
            birth, was_charted = entry.body.get("born"), True
    first = next((ward for _, ward in stays if isinstance(ward, str)), "")
    zone = zones.get(first) or next(iter(zones.values()), None)
    born: Fact[Birth] = SAID_UNKNOWN if was_charted else NEVER_CHARTED
    if birth and zone is not None:
        born = birth_from_text(birth, zone)
    return _Told(born, tuple(stays))


@dataclass(slots=True)
class _Worn:
    """The dressing that is on while the entries are gone through."""

    spell: DressingSpell
    failed: Entry | None = None


@dataclass(slots=True)
class _Line:
    """A line while its entries are gone through."""

    told: _Told
    words: FailureWords
    site: Fact[str] = NEVER_CHARTED
    kind: Fact[str] = NEVER_CHARTED
    worn: _Worn | None = None
    is_covered: bool = False
    is_out: bool = False
    done: list[DressingSpell] = field(default_factory=list)
    without_start: list[int] = field(default_factory=list)

    def take(self, entry: Entry) -> None:
        """Go on by one entry; what was charted after the line was out says nothing."""
        step = None if self.is_out else _TAKE.get(entry.kind)
        if step is not None:
            step(self, entry)

    def inserted(self, entry: Entry) -> None:
        """Take an insertion, and the dressing put on with it."""
        self.site = entry.body.get("site") or SAID_UNKNOWN
        self.kind = entry.body.get("kind") or SAID_UNKNOWN
        if entry.body.get("dressing"):
            self._put_on(entry, is_first=True)

    def changed(self, entry: Entry) -> None:
        """Take a dressing change."""
        self._end(entry, *_reason(entry, self.words))
        self._put_on(entry)

    def found(self, entry: Entry) -> None:
        """Take a finding: the first that means a failure counts."""
        is_failure = self.words.found & set(entry.body.get("findings", ()))
        if is_failure and self.worn and not self.worn.failed:
            self.worn.failed = entry

    def covered(self, entry: Entry) -> None:
        """Take an emergency cover: no dressing, so what takes it off ends nothing."""
        self._end(entry, *_came_off(entry, self.words))
        self.is_covered = True

    def removed(self, entry: Entry) -> None:
        """Take the removal of the line."""
        self._end(entry, End.LINE_OUT, None)
        self.is_out = True

    def stop(self, until: datetime) -> None:
        """End watching."""
        if self.worn is not None:
            self._close(End.STILL_ON, None, until, ())

    def _put_on(self, entry: Entry, *, is_first: bool = False) -> None:
        at = utc(entry.happened_at)
        spell = DressingSpell(
            entry.child,
            entry.line or "",
            entry.body.get("dressing") or SAID_UNKNOWN,
            self.site,
            self.kind,
            self.told.ward_at(at),
            self.told.born,
            at,
            at,
            End.STILL_ON,
            is_first=is_first,
            entries=(entry.id,),
        )
        self.worn, self.is_covered = _Worn(spell), False

    def _end(self, entry: Entry, end: End, finding: str | None) -> None:
        if self.worn is None:
            if not self.is_covered:
                self.without_start.append(entry.id)
            return
        self._close(end, finding, utc(entry.happened_at), (entry.id,))

    def _close(
        self, end: End, finding: str | None, at: datetime, ids: tuple[int, ...]
    ) -> None:
        worn = self.worn
        if worn is None:
            return
        charted_planned = False
        if worn.failed is not None:
            charted_planned = end is End.PLANNED
            found = self.words.found & set(worn.failed.body["findings"])
            end, at = End.FAILED, utc(worn.failed.happened_at)
            finding = finding or min(found)
            ids = (worn.failed.id, *ids)
        self.done.append(
            replace(
                worn.spell,
                ended_at=at,
                end=end,
                finding=finding,
                charted_planned=charted_planned,
                entries=(*worn.spell.entries, *ids),
            )
        )
        self.worn = None


_TAKE: dict[str, Callable[[_Line, Entry], None]] = {
    "line-inserted": _Line.inserted,
    "dressing-change": _Line.changed,
    "finding": _Line.found,
    "re-cover": _Line.covered,
    "line-removed": _Line.removed,
}


def _of_line(
    entries: Iterable[Entry], until: datetime, told: _Told, words: FailureWords
) -> LineSpells:
    line = _Line(told, words)
    for entry in entries:
        line.take(entry)
    line.stop(until)
    return LineSpells(tuple(line.done), tuple(line.without_start))


def _came_off(entry: Entry, words: FailureWords) -> tuple[End, str | None]:
    """Return why a dressing came off that had to be covered in an emergency.

    Without a finding it may have been taken off for a change that was broken off.
    """
    found = words.found & set(entry.body.get("findings", ()))
    return (End.FAILED, min(found)) if found else (End.UNKNOWN, None)


def _reason(entry: Entry, words: FailureWords) -> tuple[End, str | None]:
    because = entry.body.get("because")
    if because in words.changed:
        return End.FAILED, str(because)
    if because == PLANNED_WORD:
        return End.PLANNED, None
    if because == EARLY_WORD:
        return End.EARLY, None
    return End.UNKNOWN, None
