"""One entry of the chart in words, for the history of a line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Any

from lumenkeep.model import words
from lumenkeep.model.signs import REPORTED
from lumenkeep.watch.concerns_life import OUTCOMES
from lumenkeep.web.pages.shapes.infection_entry_words import (
    INFECTION_ENTRY_WORDS,
    infection_particulars,
)
from lumenkeep.web.pages.shapes.words import (
    capital,
    day_in_words,
    mass_in_words,
    moment_in_words,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from lumenkeep.model.entry import Entry

ENTRY_WORDS = {
    "birth": "Birth",
    "weight": "Weight",
    "sensitivities": "What the child does not tolerate",
    "skin": "Skin at the site",
    "stay": "Bed",
    "line-inserted": "Line put in",
    "dressing-change": "Dressing changed",
    "re-cover": "Covered in an emergency",
    "finding": "Finding on the dressing",
    "connector-change": "Needleless connectors changed",
    "set-change": "Administration set changed",
    "needle-change": "Port needle changed",
    "line-review": "Asked whether the line is still needed",
    "site-check": "Site looked at",
    "line-removed": "Line taken out",
    "concern-raised": "Concern raised",
    "concern-acknowledged": "Concern taken on",
    "concern-handed-on": "Concern handed on",
    "concern-closed": "Concern closed",
    "withdrawn": "Taken back",
    **INFECTION_ENTRY_WORDS,
}
_PARTS: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "born": ("born", {}),
    "gestation": ("gestation at birth", {}),
    "state": ("", words.SKIN),
    "skin": ("skin", words.SKIN),
    "unit": ("", words.UNITS),
    "kind": ("", {**words.LINE_KINDS, **words.SET_KINDS}),
    "site": ("site", words.SITES),
    "dressing": ("", words.DRESSINGS),
    "stitches": ("stitches", {}),
    "lumens": ("lumens", {}),
    "bed": ("bed", {}),
    "arm": ("arm", {}),
    "label": ("", {}),
    "what": ("", {}),
    "outcome": ("outcome", OUTCOMES),
}
_SILENT = {
    "ward", "set", "assistant", "policy", "guide", "concern", "says", "to",
}  # fmt: skip


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
        by_id.values(), key=lambda e: (e.happened_at, e.id), reverse=True
    )
    for entry in newest_first[:most]:
        later = corrected.get(entry.id)
        earlier = by_id.get(entry.corrects) if entry.corrects is not None else None
        correction = corrects = ""
        if later is not None:
            who = names.get(later.by, later.by)
            when = moment_in_words(later.written_at, now, zone)
            verb = "Taken back" if later.kind == "withdrawn" else "Corrected"
            correction = f"{verb} {when} by {who}"
        if earlier is not None:
            was = particulars(earlier, labels, zone)
            corrects = f"Puts right: {ENTRY_WORDS[earlier.kind].lower()}"
            corrects += f" ({was})" if was else ""
        days.setdefault(capital(day_in_words(entry.happened_at, now, zone)), []).append(
            HistoryRow(
                id=entry.id,
                kind=entry.kind,
                title=ENTRY_WORDS.get(entry.kind, entry.kind),
                particulars=particulars(entry, labels, zone),
                clock=f"{entry.happened_at.astimezone(zone):%H:%M}",
                by=names.get(entry.by, entry.by),
                late=_late(entry, now, zone),
                correction=correction,
                corrects=corrects,
                may_correct=later is None
                and entry.kind not in ("withdrawn", "line-inserted")
                and may_correct(entry),
            )
        )
    return tuple(HistoryDay(day, tuple(rows)) for day, rows in days.items())


def _late(entry: Entry, now: datetime, zone: tzinfo) -> str:
    """Return when an entry was written, where that was not on the day it speaks of."""
    written, happened = entry.written_at, entry.happened_at
    if written.astimezone(zone).date() == happened.astimezone(zone).date():
        return ""
    return f"written {moment_in_words(written, now, zone)}"


def particulars(entry: Entry, labels: Mapping[str, str], zone: tzinfo) -> str:
    """Return what an entry says beside its kind and time."""
    if (said_of_infection := infection_particulars(entry)) is not None:
        return said_of_infection
    parts = [
        said
        for key, value in entry.body.items()
        if value not in (None, "", [], ()) and key not in _SILENT
        if (said := _part(key, value, labels, zone))
    ]
    if entry.kind == "sensitivities" and not entry.body.get("known"):
        return "Asked: nothing known"
    return capital(" · ".join(parts))


def _part(key: str, value: Any, labels: Mapping[str, str], zone: tzinfo) -> str:
    if key == "agent":
        return labels.get(value, str(value))
    if key == "born":
        return _born(str(value), zone)
    if key in _SAID:
        return _SAID[key](value)
    label, known = _PARTS.get(key, (key.replace("_", " "), {}))
    said = known.get(str(value), str(value))
    return f"{label} {said[:1].lower()}{said[1:]}" if label else said


def _born(text: str, zone: tzinfo) -> str:
    if "T" not in text:
        return f"born {text}"
    at = datetime.fromisoformat(text).astimezone(zone)
    return f"born {at.day} {at:%b %Y, %H:%M}"


def _because(value: str) -> str:
    return {"planned": "as planned", "early": "changed early"}.get(
        value, f"because {value}"
    )


def _named(known: Mapping[str, str]) -> Callable[[Sequence[str]], str]:
    return lambda chosen: ", ".join(known.get(word, word).lower() for word in chosen)


_SAID: Mapping[str, Callable[[Any], str]] = {
    "g": lambda value: mass_in_words(float(value)),
    "external_length_mm": lambda value: f"{value:g} mm outside",
    "needed": lambda value: "still needed" if value else "no longer needed",
    "because": _because,
    "findings": _named(words.FINDINGS),
    "known": _named(words.SENSITIVITIES),
    "signs": _named(REPORTED),
    "grades": lambda value: ", ".join(
        f"{scale.replace('-', ' ')} grade {grade}" for scale, grade in value.items()
    ),
    "arm_girth_mm": lambda value: f"{value:g} mm around the arm",
}
