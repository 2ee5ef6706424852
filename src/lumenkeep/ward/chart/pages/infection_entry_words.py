"""Entries that determine an infection in words, for the history of a line."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model import infection_words as words

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model.entry import Entry

    Body = Mapping[str, Any]

NOT_CHARTED = "not charted"


def infection_particulars(entry: Entry) -> str | None:
    """Return what such an entry says; None for an entry of another kind."""
    said = _SAID.get(entry.kind)
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


_SAID: Mapping[str, Callable[[Body], str]] = {
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
