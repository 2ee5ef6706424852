"""Which entries of the chart count: corrections and withdrawals worked out."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from lumenkeep.core.model.entry import not_put_right
from lumenkeep.core.model.facts import SAID_UNKNOWN, Fact
from lumenkeep.core.model.times import Birth

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import tzinfo

    from lumenkeep.core.model.entry import Entry

INSERTED = "line-inserted"
WITHDRAWN = "withdrawn"
"""Kind of the entry that takes another back and puts nothing in its place."""


def standing(entries: Iterable[Entry], known_at: datetime | None = None) -> list[Entry]:
    """Return the entries that count, in the order in which things happened.

    Parameters
    ----------
    entries
        Of one child or one line, in any order.
    known_at
        Leave out what was written later (UTC): the chart as it was then known.

    Returns
    -------
    list of Entry
        Without those that a later entry corrects, and without withdrawals.
    """
    written = [e for e in entries if known_at is None or e.written_at <= known_at]
    return sorted(
        (e for e in not_put_right(written) if e.kind != WITHDRAWN),
        key=lambda e: (e.happened_at, e.id),
    )


def is_a_line(entries: Iterable[Entry]) -> bool:
    """Return whether the entries of one line tell of a line at all.

    One whose insertion was taken back is out, and keeps its history; one that nobody
    said was put in is there as long as something of it stands.
    """
    told = list(entries)
    return bool(standing(told)) or any(entry.kind == INSERTED for entry in told)


def taken_back_at(
    entries: Iterable[Entry], known_at: datetime | None = None
) -> datetime | None:
    """Return when a line was said to go in whose insertion has been taken back.

    None for any other line; for one of which nobody said that it went in, too:
    something was seen on it, so it is there.
    """
    told = list(entries)
    if any(entry.kind == INSERTED for entry in standing(told, known_at)):
        return None
    said = [
        entry
        for entry in told
        if entry.kind == INSERTED and (known_at is None or entry.written_at <= known_at)
    ]
    return max(said, key=lambda entry: entry.id).happened_at if said else None


def so_far(
    entries: Iterable[Entry], at: datetime, known_at: datetime | None = None
) -> list[Entry]:
    """Return the entries by which a past instant is judged, corrected ones included.

    Left out is what happened later, and with it what such an entry corrects: an entry
    that was put off to a later time has not happened earlier. Who takes an entry back
    does so whenever it was.

    Parameters
    ----------
    entries
        Of one child or one line, in any order.
    at, known_at
        Instants (UTC): what happened after ``at``, or was written after ``known_at``,
        is left out.
    """
    written = [e for e in entries if known_at is None or e.written_at <= known_at]
    corrected = {e.id: e.corrects for e in written if e.corrects is not None}
    out: set[int] = set()
    for entry in written:
        one: int | None = entry.id
        if entry.happened_at <= at or entry.kind == WITHDRAWN:
            continue
        while one is not None and one not in out:
            out.add(one)
            one = corrected.get(one)
    return [e for e in written if e.id not in out]


def roots_of(entries: Iterable[Entry]) -> dict[int, int]:
    """Return for each entry's id that of the entry which first charted what it says.

    An entry that corrects nothing is its own; a chain of corrections has one root.
    """
    corrected = {entry.id: entry.corrects for entry in entries}
    roots: dict[int, int] = {}
    for id_ in corrected:
        way = [id_]
        while (earlier := corrected.get(way[-1])) is not None:
            if earlier in roots:
                way.append(roots[earlier])
                break
            way.append(earlier)
        roots.update(dict.fromkeys(way, way[-1]))
    return {id_: roots[id_] for id_ in corrected}


def birth_from_text(text: str | None, zone: tzinfo) -> Fact[Birth]:
    """Return a birth from an ISO instant or date; unknown where there is none."""
    if not text:
        return SAID_UNKNOWN
    if "T" in text:
        return Birth.at(datetime.fromisoformat(text))
    return Birth.on(date.fromisoformat(text), zone)
