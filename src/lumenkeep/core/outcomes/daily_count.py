"""The daily count from the chart: who lay on a ward at its hour, and with which lines.

A day that cannot be counted has no count and says why; it is never a 0. Everything
is linear in entries and child-days.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import standing
from lumenkeep.core.outcomes.counting import DayCount

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.outcomes.protocol import Protocol

KINDS = ("stay", "birth", "weight", "line-inserted", "line-removed", "line-tip")
"""Kinds of entry that the count reads; withdrawals of them too."""

NOT_YET, NO_HOUR, BEFORE_CHART, NOBODY, SILENT, WARD_UNKNOWN = (
    "not-yet", "no-hour", "before-chart", "nobody", "silent", "ward-unknown",
)  # fmt: skip
WHY = {
    NOT_YET: "The hour of the count is still to come.",
    NO_HOUR: "No hour of the count was set for this day.",
    BEFORE_CHART: "The chart of this ward had not begun.",
    NOBODY: "By the chart nobody lay here; whether the ward was empty is not charted.",
    SILENT: "Nothing at all was charted on any child of the ward.",
    WARD_UNKNOWN: "The chart does not say where a child of the ward lay.",
}


@dataclass(frozen=True, slots=True)
class LineThere:
    """A line in place at the count; ``entry`` is the id of its insertion.

    ``is_central`` is None where no entry says where the tip lies, and the kind alone
    does not settle it.
    """

    key: str
    kind: str
    is_central: bool | None
    entry: int


@dataclass(frozen=True, slots=True)
class ChildThere:
    """A child on the ward at the count, and the entries that put it there."""

    child: str
    stay: int
    birthweight_g: float | None
    lines: tuple[LineThere, ...]

    @property
    def central(self) -> tuple[LineThere, ...]:
        """Its central lines."""
        return tuple(line for line in self.lines if line.is_central)

    @property
    def is_open(self) -> bool:
        """Whether it cannot be said if it has a central line."""
        unknown = any(line.is_central is None for line in self.lines)
        return unknown and not self.central

    @property
    def entries(self) -> tuple[int, ...]:
        """Ids of the entries behind it: the stay, then the insertions."""
        return (self.stay, *(line.entry for line in self.lines))


@dataclass(frozen=True, slots=True)
class CountedDay:
    """One day of a ward, counted or missing.

    Attributes
    ----------
    at
        The instant of the count (UTC); None where no hour was set.
    count
        None for a day that could not be counted.
    why
        One of `WHY` where there is no count, else "".
    children
        Who was there.
    lost
        Children whose ward nobody charted, by key, with the entry that lost them.
    quiet
        Children counted of whom nothing was charted that day.
    """

    on: date
    at: datetime | None
    count: DayCount | None
    why: str = ""
    children: tuple[ChildThere, ...] = ()
    lost: tuple[tuple[str, int], ...] = ()
    quiet: frozenset[str] = frozenset()

    @property
    def is_missing(self) -> bool:
        """Whether it should have been counted and could not be."""
        return self.count is None and self.why != NOT_YET


@dataclass(slots=True)
class _Span:
    """From an instant to another (None: still), with what it was."""

    start: datetime
    end: datetime | None
    entry: int
    what: Mapping[str, object]

    def holds(self, at: datetime) -> bool:
        return self.start <= at and (self.end is None or at < self.end)


@dataclass(slots=True)
class _Life:
    """A child's stays and lines as its entries leave them."""

    child: str
    birthweight_g: float | None = None
    born: date | None = None
    weights: list[tuple[datetime, float]] = field(default_factory=list)
    stays: list[_Span] = field(default_factory=list)
    lines: dict[str, _Span] = field(default_factory=dict)
    tips: dict[str, list[object]] = field(default_factory=dict)


def count_wards(
    entries: Iterable[Entry],
    instants: Mapping[str, Sequence[tuple[date, datetime | None]]],
    charted: Mapping[date, frozenset[str]],
    protocol: Protocol,
    zone: tzinfo,
    *,
    now: datetime,
    known_at: datetime | None = None,
) -> dict[str, tuple[CountedDay, ...]]:
    """Return the count of each day of each ward.

    Parameters
    ----------
    entries
        Those of `KINDS`, and withdrawals, of every child that ever lay on the wards.
    instants
        For each ward its days, rising, each with the instant of the count (UTC);
        None where no hour is set.
    charted
        By day, the children of whom anything was charted that day.
    protocol
        The year whose rules say which line is central and which permanent.
    zone
        Of the wards: its calendar says which weighing was that of the day of birth.
    now
        Nothing later is counted (UTC).
    known_at
        The chart as it was known then (UTC); None: as it is.
    """
    of_child: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        of_child[entry.child].append(entry)
    lives = [_life(child, told, known_at, zone) for child, told in of_child.items()]
    return {
        ward: tuple(_ward_days(ward, days, lives, charted, protocol, now))
        for ward, days in instants.items()
    }


def _life(
    child: str, entries: Sequence[Entry], known_at: datetime | None, zone: tzinfo
) -> _Life:
    life = _Life(child)
    for entry in standing(entries, known_at):
        body = entry.body
        if entry.kind == "stay":
            if life.stays:
                life.stays[-1].end = entry.happened_at
            life.stays.append(_Span(entry.happened_at, None, entry.id, body))
        elif entry.kind == "birth":
            life.born = _born(body.get("born"), zone)
        elif entry.kind == "weight" and body.get("g") is not None:
            life.weights.append((entry.happened_at, float(body["g"])))
        elif entry.line is not None:
            _line_after(life, entry.line, entry)
    life.birthweight_g = next(
        (g for at, g in life.weights if at.astimezone(zone).date() == life.born), None
    )
    return life


def _line_after(life: _Life, line: str, entry: Entry) -> None:
    at = entry.happened_at
    if entry.kind == "line-inserted":
        life.lines[line] = _Span(at, None, entry.id, entry.body)
    elif entry.kind == "line-removed" and line in life.lines:
        life.lines[line].end = at
    elif entry.kind == "line-tip":
        life.tips.setdefault(line, []).append(entry.body.get("tip"))


def _born(text: object, zone: tzinfo) -> date | None:
    if not isinstance(text, str):
        return None
    if "T" in text:
        return datetime.fromisoformat(text).astimezone(zone).date()
    return date.fromisoformat(text)


@dataclass(slots=True)
class _Found:
    """What was found of one day so far."""

    children: list[ChildThere] = field(default_factory=list)
    lost: list[tuple[str, int]] = field(default_factory=list)


def _ward_days(
    ward: str,
    days: Sequence[tuple[date, datetime | None]],
    lives: Sequence[_Life],
    charted: Mapping[date, frozenset[str]],
    protocol: Protocol,
    now: datetime,
) -> Iterator[CountedDay]:
    timed = [(on, when) for on, when in days if when is not None and when <= now]
    times = [when for _, when in timed]
    found = {on: _Found() for on, _ in timed}
    begins: datetime | None = None
    for life in lives:
        last_ward: object = None
        for stay in life.stays:
            here, is_lost = _where(stay, last_ward, ward)
            last_ward = last_ward if is_lost else here
            if here == ward:
                begins = stay.start if begins is None else min(begins, stay.start)
            elif not is_lost:
                continue
            start = bisect_left(times, stay.start)
            end = len(times) if stay.end is None else bisect_left(times, stay.end)
            for on, when in timed[start:end]:
                if is_lost:
                    found[on].lost.append((life.child, stay.entry))
                else:
                    found[on].children.append(_there(life, stay, when, protocol))
    for on, at in days:
        yield _day(on, at, found.get(on), begins, charted, protocol)


def _where(stay: _Span, before: object, ward: str) -> tuple[object, bool]:
    """Return where a stay is, and whether it lost a child of the ward from sight.

    A ward of null says that the child has left; no ward at all says nothing.
    """
    if stay.what.get("inpatient") is False:
        return None, False
    here = stay.what.get("ward", "")
    return here, here == "" and before == ward


def _there(life: _Life, stay: _Span, at: datetime, protocol: Protocol) -> ChildThere:
    lines = tuple(
        _line(key, span, life.tips.get(key, ()), protocol)
        for key, span in life.lines.items()
        if span.holds(at)
    )
    return ChildThere(life.child, stay.entry, life.birthweight_g, lines)


def _line(
    key: str,
    span: _Span,
    tips: Sequence[object],
    protocol: Protocol,
) -> LineThere:
    """Return a line in place.

    A tip seen in a great vessel at any time makes it central all along, as in the
    determination of infections, whatever the tip does later.
    """
    kind = str(span.what.get("kind") or "")
    seen = [tip for tip in tips if tip]
    is_central: bool | None = None
    if kind in protocol.words["never_central"]:
        is_central = False
    elif kind in protocol.words["central_by_kind"]:
        is_central = True
    elif seen:
        is_central = any(tip in protocol.words["great_vessel"] for tip in seen)
    return LineThere(key, kind, is_central, span.entry)


def _day(
    on: date,
    at: datetime | None,
    found: _Found | None,
    begins: datetime | None,
    charted: Mapping[date, frozenset[str]],
    protocol: Protocol,
) -> CountedDay:
    why = _why_missing(on, at, found, begins, charted)
    if found is None:
        return CountedDay(on, at, None, why)
    children = tuple(found.children)
    count = None if why else count_children(on, children, protocol)
    quiet = frozenset(c.child for c in children) - charted.get(on, frozenset())
    return CountedDay(on, at, count, why, children, tuple(found.lost), quiet)


def _why_missing(
    on: date,
    at: datetime | None,
    found: _Found | None,
    begins: datetime | None,
    charted: Mapping[date, frozenset[str]],
) -> str:
    if at is None:
        return NO_HOUR
    if found is None:
        return NOT_YET
    if begins is None or at < begins:
        return BEFORE_CHART
    if found.lost:
        return WARD_UNKNOWN
    if not found.children:
        return NOBODY
    seen = charted.get(on, frozenset())
    return "" if any(c.child in seen for c in found.children) else SILENT


def count_children(
    on: date, children: Iterable[ChildThere], protocol: Protocol
) -> DayCount:
    """Return the count of a day: a child with several lines is one line-day.

    A child with both kinds of line counts under temporary.
    """
    total = with_line = temporary = is_open = 0
    for child in children:
        total += 1
        is_open += child.is_open
        kinds = [line.kind in protocol.words["permanent"] for line in child.central]
        with_line += bool(kinds)
        temporary += bool(kinds) and not all(kinds)
    permanent = with_line - temporary
    return DayCount(on, total, with_line, temporary, permanent, is_open)


UNKNOWN_STRATUM = "birthweight not charted"


def strata_of_day(
    children: Iterable[ChildThere], protocol: Protocol
) -> dict[str, tuple[int, int]]:
    """Return infants, and infants with a line, of each birthweight group.

    An infant whose birthweight is not charted has a group of its own: it is never
    guessed from a later weighing.
    """
    found: dict[str, tuple[int, int]] = {}
    for child in children:
        stratum = protocol.stratum(child.birthweight_g) or UNKNOWN_STRATUM
        infants, with_line = found.get(stratum, (0, 0))
        found[stratum] = (infants + 1, with_line + bool(child.central))
    return found
