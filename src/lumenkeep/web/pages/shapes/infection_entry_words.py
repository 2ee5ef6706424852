"""Entries that determine an infection in words, for the history of a line."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.model import infection_words as words

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.model.entry import Entry

    Body = Mapping[str, Any]

INFECTION_ENTRY_WORDS = {
    "specimen": "Specimen taken",
    "specimen-result": "Result of a specimen",
    "sign": "Sign of infection",
    "blood-count": "Blood count",
    "gut": "Gut",
    "other-infection": "Infection elsewhere",
    "condition": "Condition documented",
    "transplant": "Transplant",
    "device": "Circuit device",
    "pus": "Pus at a vascular site",
    "self-injection": "Self-injection into the line",
    "infection-decision": "Decision on an infection",
    "line-tip": "Where the tip lies",
    "line-access": "Line used",
}


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
    return words.RESULTS.get(body.get("result", ""), "result not charted").lower()


def _specimen(body: Body) -> str:
    source = _said(words.SOURCES, body["source"])
    draw = f", {body['draw']}" if body.get("draw") else ""
    is_molecular = body.get("method") == "molecular"
    return f"{source}{draw}{', molecular test' if is_molecular else ''}: {_grown(body)}"


def _sign(body: Body) -> str:
    if body.get("celsius") is not None:
        return f"{body['celsius']:g} °C"
    return _said(words.SIGNS, body["kind"])


def _count(body: Body) -> str:
    return f"{_said(words.COUNTS, body['kind'])} {body['per_mm3']:g} per mm³"


def _gut(body: Body) -> str:
    if body["kind"] == "gvhd":
        return f"{words.GUT['gvhd']}, grade {body.get('grade')}"
    mass = f", weighs {body['mass_kg']:g} kg" if body.get("mass_kg") else ""
    return f"{words.GUT['stool']} {body.get('ml_24h'):g} mL{mass}"


def _elsewhere(body: Body) -> str:
    kind = _said(words.OTHER_INFECTIONS, body["kind"])
    return f"{kind}, date of event {day_said(body['date_of_event'])}, {_grown(body)}"


def _pus(body: Body) -> str:
    site = _said(words.VASCULAR_SITES, body["vascular_site"])
    return f"{site}, {_grown(body)}"


def _device(body: Body) -> str:
    doing = _said(words.DEVICE_DOINGS, body["doing"])
    return f"{_said(words.DEVICES, body['kind'])}: {doing[:1].lower()}{doing[1:]}"


def _decision(body: Body) -> str:
    said = _said(words.DECISIONS, body["decision"])
    verdict = words.VERDICTS.get(body.get("verdict") or "")
    parts = [said, *([verdict] if verdict else [])]
    if body.get("because"):
        parts.append(body["because"])
    return " · ".join(parts)


def _said(known: Mapping[str, str], word: Any) -> str:
    """Return what is said for a word; the word itself where it is none of them."""
    return known.get(word, str(word))


def _word(known: Mapping[str, str], key: str) -> Callable[[Body], str]:
    return lambda body: _said(known, body[key])


_SAID: Mapping[str, Callable[[Body], str]] = {
    "specimen": _specimen,
    "specimen-result": lambda body: _grown(body)[:1].upper() + _grown(body)[1:],
    "sign": _sign,
    "blood-count": _count,
    "gut": _gut,
    "other-infection": _elsewhere,
    "condition": _word(words.CONDITIONS, "kind"),
    "transplant": lambda body: (
        f"{_said(words.TRANSPLANTS, body['kind'])}, {day_said(body['on'])}"
    ),
    "device": _device,
    "pus": _pus,
    "self-injection": _word(words.SELF_INJECTION, "how"),
    "infection-decision": _decision,
    "line-tip": _word(words.TIPS, "tip"),
    "line-access": _word(words.ACCESS, "for"),
}
