"""One entry of the chart in words, for the history of a line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.said import label_of, parts_said
from lumenkeep.core.model.chart import WITHDRAWN
from lumenkeep.core.model.quantities import mass_in_words
from lumenkeep.text.moments import capital, day_in_words, moment_in_words
from lumenkeep.ward.chart.charting.correct import may_take_back
from lumenkeep.ward.chart.pages.infection_entry_words import infection_particulars

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from lumenkeep.core.entries.kind import Field as EntryField
    from lumenkeep.core.model.entry import Entry


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One entry of the history.

    Attributes
    ----------
    correction
        Who corrected it, when and to what, in words; empty while it counts.
    corrects
        What this entry puts right, in words; empty where it puts nothing right.
    """

    id: int
    kind: str
    title: str
    particulars: str
    clock: str
    by: str
    late: str
    correction: str
    corrects: str
    may_correct: bool


@dataclass(frozen=True, slots=True)
class HistoryDay:
    """The entries of one day on the ward's clock, the newest first."""

    label: str
    rows: tuple[HistoryRow, ...]


def history(
    entries: Iterable[Entry],
    now: datetime,
    zone: tzinfo,
    names: Mapping[str, str],
    labels: Mapping[str, str],
    *,
    may_correct: Callable[[Entry], bool],
    most: int | None = None,
) -> tuple[HistoryDay, ...]:
    """Return a line's entries by day, the newest first, corrected ones included.

    Parameters
    ----------
    names
        Names of staff by key, for the screen.
    labels
        Plain names of agents by id.
    may_correct
        Whether the reader may correct an entry.
    most
        How many entries to return; None for all.
    """
    by_id = {entry.id: entry for entry in entries}
    corrected = {e.corrects: e for e in by_id.values() if e.corrects is not None}
    days: dict[str, list[HistoryRow]] = {}
    newest_first = sorted(
        by_id.values(), key=lambda e: (told_at(e), e.id), reverse=True
    )
    for entry in newest_first[:most]:
        later = corrected.get(entry.id)
        earlier = by_id.get(entry.corrects) if entry.corrects is not None else None
        correction = corrects = ""
        if later is not None:
            who = names.get(later.by, later.by)
            when = moment_in_words(later.written_at, now, zone)
            verb = "Taken back" if later.kind == WITHDRAWN else "Corrected"
            correction = f"{verb} {when} by {who}"
        if earlier is not None:
            was = particulars(earlier, labels, zone)
            corrects = f"Puts right: {label_of(earlier.kind).lower()}"
            corrects += f" ({was})" if was else ""
        days.setdefault(capital(day_in_words(told_at(entry), now, zone)), []).append(
            HistoryRow(
                id=entry.id,
                kind=entry.kind,
                title=label_of(entry.kind),
                particulars=particulars(entry, labels, zone),
                clock=f"{told_at(entry).astimezone(zone):%H:%M}",
                by=names.get(entry.by, entry.by),
                late=_late(entry, now, zone),
                correction=correction,
                corrects=corrects,
                may_correct=later is None
                and may_take_back(entry)
                and may_correct(entry),
            )
        )
    return tuple(HistoryDay(day, tuple(rows)) for day, rows in days.items())


def told_at(entry: Entry) -> datetime:
    """Return when what an entry says was so (UTC).

    What takes an entry back holds the time of that entry; it was taken back when that
    was written.
    """
    return entry.written_at if entry.kind == WITHDRAWN else entry.happened_at


def _late(entry: Entry, now: datetime, zone: tzinfo) -> str:
    """Return when an entry was written, where that was not on the day it speaks of."""
    written, happened = entry.written_at, told_at(entry)
    if written.astimezone(zone).date() == happened.astimezone(zone).date():
        return ""
    return f"written {moment_in_words(written, now, zone)}"


def particulars(entry: Entry, labels: Mapping[str, str], zone: tzinfo) -> str:
    """Return what an entry says beside its kind and time."""
    if (said_of_infection := infection_particulars(entry)) is not None:
        return said_of_infection

    def said(field: EntryField, value: Any) -> str | None:
        if field.key == "agent":
            return labels.get(value, str(value))
        if field.key == "born":
            return _born(str(value), zone)
        return _SAID[field.key](value) if field.key in _SAID else None

    return capital(" · ".join(parts_said(entry, said)))


def _born(text: str, zone: tzinfo) -> str:
    if "T" not in text:
        return f"born {text}"
    at = datetime.fromisoformat(text).astimezone(zone)
    return f"born {at.day} {at:%b %Y, %H:%M}"


def _because(value: str) -> str:
    return {"planned": "as planned", "early": "changed early"}.get(
        value, f"because {value}"
    )


_SAID: Mapping[str, Callable[[Any], str]] = {
    "g": lambda value: mass_in_words(float(value)),
    "external_length_mm": lambda value: f"{value:g} mm outside",
    "needed": lambda value: "still needed" if value else "no longer needed",
    "because": _because,
    "arm_girth_mm": lambda value: f"{value:g} mm around the arm",
}
