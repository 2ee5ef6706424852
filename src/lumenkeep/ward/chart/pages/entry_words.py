"""One entry of the chart in words, for the history of a line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.said import label_of, parts_said
from lumenkeep.core.model import infection_words as words
from lumenkeep.core.model.chart import WITHDRAWN
from lumenkeep.core.model.quantities import mass_in_words
from lumenkeep.text.moments import capital, day_in_words, moment_in_words
from lumenkeep.ward.chart.charting.correct import may_take_back
from lumenkeep.ward.site.pages.shapes import Group

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model.entry import Entry

    Body = Mapping[str, Any]
    from collections.abc import Iterable, Mapping

    from lumenkeep.core.entries.kind import Field as EntryField

NOT_CHARTED = "not charted"


def infection_particulars(entry: Entry) -> str | None:
    """Return what such an entry says; None for an entry of another kind."""
    said = _SAID_OF_BLOOD.get(entry.kind)
    return None if said is None else said(entry.body)


def day_said(text: str | None) -> str:
    """Return an ISO day as it is said, as in "Tue 24 Nov 2026"."""
    if not text:
        return "day not charted"
    day = date.fromisoformat(text)
    return f"{day:%a} {day.day} {day:%b %Y}"


def _grown(body: Body) -> str:
    if body.get("organisms"):
        return "grew " + ", ".join(body["organisms"])
    return words.RESULTS.get(body.get("result") or "", "result not charted").lower()


def _specimen(body: Body) -> str:
    source = _said(words.SOURCES, body.get("source"))
    draw = f", {body['draw']}" if body.get("draw") else ""
    is_molecular = body.get("method") == "molecular"
    return f"{source}{draw}{', molecular test' if is_molecular else ''}: {_grown(body)}"


def _organism(body: Body) -> str:
    if body.get("known_as"):
        return f"“{body.get('name')}” is {body['known_as']}"
    what = _said(words.ORGANISM_MEANS, body.get("is"))
    return f"“{body.get('name')}”: {what[:1].lower()}{what[1:]}"


def _sign(body: Body) -> str:
    if body.get("celsius") is not None:
        return f"{body['celsius']:g} °C"
    return _said(words.SIGNS, body.get("kind"))


def _count(body: Body) -> str:
    return f"{_said(words.COUNTS, body.get('kind'))} {_number(body, 'per_mm3')} per mm³"


def _gut(body: Body) -> str:
    kind = _said(words.GUT, body.get("kind"))
    if body.get("kind") == "gvhd":
        return f"{kind}, grade {_number(body, 'grade')}"
    mass = f", weighs {body['mass_kg']:g} kg" if body.get("mass_kg") else ""
    return f"{kind} {_number(body, 'ml_24h')} mL{mass}"


def _elsewhere(body: Body) -> str:
    kind = _said(words.OTHER_INFECTIONS, body.get("kind"))
    return (
        f"{kind}, date of event {day_said(body.get('date_of_event'))}, {_grown(body)}"
    )


def _pus(body: Body) -> str:
    site = _said(words.VASCULAR_SITES, body.get("vascular_site"))
    return f"{site}, {_grown(body)}"


def _device(body: Body) -> str:
    doing = _said(words.DEVICE_DOINGS, body.get("doing"))
    return f"{_said(words.DEVICES, body.get('kind'))}: {doing[:1].lower()}{doing[1:]}"


def _decision(body: Body) -> str:
    said = _said(words.DECISIONS, body.get("decision"))
    verdict = words.VERDICTS.get(body.get("verdict") or "")
    parts = [said, *([verdict] if verdict else [])]
    if body.get("because"):
        parts.append(body["because"])
    return " · ".join(parts)


def _said(known: Mapping[str, str], word: Any) -> str:
    """Return what is said for a word; the word itself where it is none of them."""
    return NOT_CHARTED if word is None else known.get(word, str(word))


def _number(body: Body, key: str) -> str:
    value = body.get(key)
    return NOT_CHARTED if value is None else f"{value:g}"


def _word(known: Mapping[str, str], key: str) -> Callable[[Body], str]:
    return lambda body: _said(known, body.get(key))


_SAID_OF_BLOOD: Mapping[str, Callable[[Body], str]] = {
    "specimen": _specimen,
    "specimen-result": lambda body: _grown(body)[:1].upper() + _grown(body)[1:],
    "organism": _organism,
    "sign": _sign,
    "blood-count": _count,
    "gut": _gut,
    "other-infection": _elsewhere,
    "condition": _word(words.CONDITIONS, "kind"),
    "transplant": lambda body: (
        f"{_said(words.TRANSPLANTS, body.get('kind'))}, {day_said(body.get('on'))}"
    ),
    "device": _device,
    "pus": _pus,
    "self-injection": _word(words.SELF_INJECTION, "how"),
    "infection-decision": _decision,
    "line-tip": _word(words.TIPS, "tip"),
    "line-access": _word(words.ACCESS, "for"),
}


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


def history(
    entries: Iterable[Entry],
    now: datetime,
    zone: tzinfo,
    names: Mapping[str, str],
    labels: Mapping[str, str],
    *,
    may_correct: Callable[[Entry], bool],
    most: int | None = None,
) -> tuple[Group[HistoryRow], ...]:
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
    return tuple(Group(day, rows) for day, rows in days.items())


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
