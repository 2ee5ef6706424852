"""Read what was typed into a form for infections, with every fault."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.services.infection_questions import AT, FORMS, YES, Asked
from lumenkeep.services.typed_days import typed_day

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date, datetime, tzinfo

    from lumenkeep.services.typed_values import Typed

    Body = dict[str, Any]

# What a slip of the pen or another unit gives lies outside; nothing clinical.
POSSIBLE: Mapping[str, tuple[float, float, str]] = {
    "celsius": (20.0, 46.0, "°C"),
    "per_mm3": (0.0, 1_000_000.0, "per mm³"),
    "ml_24h": (0.0, 30_000.0, "mL"),
    "mass_kg": (0.15, 300.0, "kg"),
}


def read_infection_entry(
    form: Typed,
    kind: str,
    zone: tzinfo,
    now: datetime,
    specimens: Mapping[str, str] | None = None,
) -> tuple[datetime | None, Body]:
    """Return when it was so (UTC; None where not said) and the entry's body.

    Parameters
    ----------
    form
        As typed; the faults are noted in it.
    kind
        A key of `FORMS`.
    specimens
        The child's specimens in words by the id of their first entry, for a result.
    """
    asked = FORMS[kind].asked
    today = now.astimezone(zone).date()
    values = {
        one.name: _value(form, one, today, specimens or {})
        for one in asked
        if one.kind != "instant"
    }
    at = None
    instant = next((one for one in asked if one.kind == "instant"), None)
    if instant is not None:
        at = form.instant(AT, instant.label, zone, now)
    read = _BODIES.get(kind)
    return at, values if read is None else read(form, values)


def _value(form: Typed, one: Asked, today: date, specimens: Mapping[str, str]) -> Any:
    if one.kind in ("choice", "pick"):
        known = specimens if one.name == "specimen" else (one.choices or {})
        return form.word(one.name, one.label, known, needed=one.is_needed)
    if one.kind == "number":
        low, high, unit = POSSIBLE[one.name]
        return form.number(one.name, one.label, unit, low, high, needed=one.is_needed)
    if one.kind == "day":
        return typed_day(form, one.name, one.label, today, needed=one.is_needed)
    text = form.text(one.name, one.label, needed=one.is_needed)
    return _lines(text) if one.name == "organisms" else text


def _lines(text: str | None) -> list[str]:
    """Return one name for each line; a name may hold a comma."""
    lines = (line.strip() for line in (text or "").replace(";", "\n").splitlines())
    return [line for line in lines if line]


def _needs(form: Typed, values: Body, name: str, kind: str, label: str) -> None:
    """Note a fault where the chosen kind asks for a value that is not there."""
    is_faulty = any(fault.where == name for fault in form.faults)
    if values["kind"] == kind and values[name] is None and not is_faulty:
        form.fault("missing", f"{label}: nothing is filled in.", name, "fill it in")


def _result(form: Typed, values: Body) -> Body:
    if values["result"] == "grew" and not values["organisms"]:
        form.fault(
            "missing",
            "What grew: nothing is filled in.",
            "organisms",
            "write what the laboratory reports, or say that it is not back yet",
        )
    if values["result"] in ("pending", "no-growth") and values["organisms"]:
        form.fault(
            "contradiction",
            "Something grew, and yet the result says otherwise.",
            "result",
            "choose that something grew, or empty the field of what grew",
        )
    return values


def _specimen(form: Typed, values: Body) -> Body:
    if values["source"] == "blood" and values["draw"] is None:
        form.fault(
            "missing",
            "Name of this draw: nothing is filled in.",
            "draw",
            "name it after where it was drawn",
        )
    return _result(form, values)


def _of_specimen(form: Typed, values: Body) -> Body:
    specimen = values["specimen"]
    read = _result(form, values)
    return {**read, "specimen": int(specimen) if specimen else None}


def _sign(form: Typed, values: Body) -> Body:
    _needs(form, values, "celsius", "temperature", "Temperature")
    celsius = values["celsius"] if values["kind"] == "temperature" else None
    return {"kind": values["kind"], "celsius": celsius}


def _count(form: Typed, values: Body) -> Body:
    value = values["per_mm3"]
    if value is not None and value != int(value):
        form.fault(
            "out-of-range",
            f"Cells per mm³: {value:g} is no whole number of cells.",
            "per_mm3",
            "write it per mm³: 0.4 × 10⁹ per litre is 400",
        )
    return values


def _gut(form: Typed, values: Body) -> Body:
    _needs(form, values, "grade", "gvhd", "Grade of the disease")
    _needs(form, values, "ml_24h", "stool", "Stool in 24 hours")
    if values["kind"] == "gvhd":
        grade = values["grade"]
        return {"kind": "gvhd", "grade": int(grade) if grade else None}
    return {
        "kind": values["kind"],
        "ml_24h": values["ml_24h"],
        "mass_kg": values["mass_kg"],
    }


def _elsewhere(form: Typed, values: Body) -> Body:
    first, last = values["window_first"], values["window_last"]
    event_on = values["date_of_event"]
    if (first is None) != (last is None):
        form.fault(
            "contradiction",
            "Its window has one end only.",
            "window_last" if last is None else "window_first",
            "fill in both days, or neither",
        )
    elif first and last and event_on and not first <= event_on <= last:
        form.fault(
            "contradiction",
            "The date of event lies outside its window.",
            "date_of_event",
            "correct the day, or the window",
        )
    return {
        "kind": values["kind"],
        "date_of_event": event_on.isoformat() if event_on else None,
        "window": [first.isoformat(), last.isoformat()] if first and last else None,
        "organisms": values["organisms"],
        "blood_is_element": values["blood_is_element"] == YES,
    }


def _transplant(form: Typed, values: Body) -> Body:
    del form
    on = values["on"]
    return {"kind": values["kind"], "on": on.isoformat() if on else None}


_BODIES: Mapping[str, Callable[[Typed, Body], Body]] = {
    "specimen": _specimen,
    "specimen-result": _of_specimen,
    "sign": _sign,
    "blood-count": _count,
    "gut": _gut,
    "other-infection": _elsewhere,
    "transplant": _transplant,
}
