"""Form fields as values: what is asked, what was typed, and what is wrong with it.

Made for forms whose fields come from policy. Whatever was typed comes back as it was,
beside the fault that names how to mend it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, tzinfo
from typing import Any, Protocol

from lumenkeep.errors import Fault
from lumenkeep.model.quantities import Gestation

UNITS = {"length": "mm", "mass": "g", "count": ""}
NUMBERS = ("length", "count", "mass")
YES_NO = (("yes", "Yes"), ("no", "No"))


class Typed(Protocol):
    """What a browser sent: one text or several under a name."""

    def get(self, key: str, default: str = "") -> str | None:
        """Return the last text under a name."""
        ...

    def getlist(self, key: str) -> list[str]:
        """Return all texts under a name."""
        ...


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form.

    Parameters
    ----------
    name, label, hint
        Name in the form; what is asked; what helps to answer.
    kind
        "instant", "day", "time", "choice", "pick" (a long list), "several", "length",
        "mass", "count", "gestation", "text" or "yes-no".
    choices
        Values with their words.
    low, high
        What is possible (mm, g or count).
    typed, ticked
        The text as typed, or the values ticked.
    fault
        What is wrong with it, if anything.
    """

    name: str
    label: str
    kind: str
    required: bool = False
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    low: float | None = None
    high: float | None = None
    typed: str = ""
    ticked: tuple[str, ...] = ()
    fault: Fault | None = None

    @property
    def unit(self) -> str:
        """Unit said beside the field."""
        return UNITS.get(self.kind, "")

    @property
    def control(self) -> str:
        """Which control draws it: "pills", "list" or "line"."""
        if self.kind in ("choice", "several", "yes-no"):
            return "pills"
        if self.kind == "pick":
            return "list"
        return "area" if self.kind == "text" else "line"

    @property
    def input_type(self) -> str:
        """Type of the input; numbers stay text, so that nothing typed is lost."""
        return {"instant": "datetime-local", "day": "date", "time": "time"}.get(
            self.kind, "text"
        )

    @property
    def input_mode(self) -> str:
        """Which keyboard a tablet offers."""
        return "decimal" if self.kind in NUMBERS else ""

    @property
    def described_by(self) -> str:
        """Ids of what describes the field, for a screen reader."""
        parts = [f"{self.name}-hint"] * bool(self.hint)
        parts += [f"{self.name}-fault"] * (self.fault is not None)
        return " ".join(parts)


@dataclass(frozen=True, slots=True)
class Filled:
    """A form as sent: its fields with faults, and the values where there are none."""

    fields: tuple[Field, ...]
    values: Mapping[str, Any]
    faults: tuple[Fault, ...]


def local_minute(at: datetime, zone: tzinfo) -> str:
    """Return an instant as a date-and-time input holds it, on the ward's clock."""
    return f"{at.astimezone(zone):%Y-%m-%dT%H:%M}"


def fill(fields: Iterable[Field], data: Typed, zone: tzinfo) -> Filled:
    """Read a form as sent; every fault of it at once.

    Parameters
    ----------
    fields
        What was asked.
    data
        What was sent.
    zone
        The ward's zone; instants are typed on its clock.

    Returns
    -------
    Filled
        ``values`` holds only what was answered, in model units (UTC, mm, g).
    """
    seen: list[Field] = []
    values: dict[str, Any] = {}
    faults: list[Fault] = []
    for field in fields:
        if field.kind == "several":
            ticked = tuple(data.getlist(field.name))
            here = replace(field, ticked=ticked)
            text = ",".join(ticked)
        else:
            text = (data.get(field.name) or "").strip()
            here = replace(field, typed=text)
        try:
            value = _answer(here, text, zone)
        except _Wrong as wrong:
            fault = Fault(wrong.code, wrong.what, field.name, wrong.mend)
            faults.append(fault)
            here = replace(here, fault=fault)
        else:
            if value is not None:
                values[field.name] = value
        seen.append(here)
    return Filled(tuple(seen), values, tuple(faults))


def with_faults(fields: Sequence[Field], faults: Iterable[Fault]) -> tuple[Field, ...]:
    """Return the fields with faults found later, each beside the field it names."""
    by_name = {fault.where.rsplit(": ", 1)[-1]: fault for fault in faults}
    return tuple(
        replace(field, fault=by_name[field.name]) if field.name in by_name else field
        for field in fields
    )


class _Wrong(Exception):  # noqa: N818  caught in this file only
    def __init__(self, code: str, what: str, mend: str) -> None:
        self.code = f"form-{code}"
        self.what = what
        self.mend = mend
        super().__init__(code)


def _ask(field: Field) -> str:
    if field.control == "pills":
        return "choose one" if field.kind != "several" else "choose at least one"
    if field.control == "list":
        return "choose one from the list"
    return "fill it in"


def _answer(field: Field, text: str, zone: tzinfo) -> Any:
    if text:
        return _value(field, zone)
    if field.required:
        raise _Wrong("missing", "This is not filled in.", _ask(field))
    return None


def _value(field: Field, zone: tzinfo) -> Any:
    if field.kind in NUMBERS:
        return _number(field)
    if field.kind == "instant":
        return _instant(field.typed, zone)
    if field.kind == "several":
        return _allowed(field, field.ticked)
    if field.kind in ("choice", "pick", "yes-no"):
        return _allowed(field, (field.typed,))[0]
    return _parsed(field)


def _parsed(field: Field) -> Any:
    try:
        if field.kind == "day":
            return date.fromisoformat(field.typed)
        if field.kind == "time":
            return time.fromisoformat(field.typed)
        if field.kind == "gestation":
            return str(Gestation.read(field.typed))
    except ValueError:
        forms = {"day": "2026-11-24", "time": "09:40", "gestation": "27w3d"}
        raise _Wrong(
            "unreadable",
            f"“{field.typed}” cannot be read.",
            f"write it as in {forms[field.kind]}",
        ) from None
    return field.typed


def _allowed(field: Field, chosen: tuple[str, ...]) -> tuple[str, ...]:
    known = {value for value, _ in field.choices}
    if not known.issuperset(chosen):
        raise _Wrong("not-offered", "This was not among the answers.", _ask(field))
    return chosen


def _number(field: Field) -> float | int:
    unit = f" {field.unit}" if field.unit else ""
    low = 0.0 if field.low is None else field.low
    upto = f" to {field.high:g}" if field.high is not None else " upwards"
    mend = f"write a number from {low:g}{upto}{unit}"
    try:
        number = float(field.typed.replace(",", "."))
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise _Wrong("no-number", f"“{field.typed}” is not a number.", mend)
    if number < low or (field.high is not None and number > field.high):
        raise _Wrong("impossible", f"{number:g}{unit} is not possible here.", mend)
    if field.kind == "count":
        if number != int(number):
            raise _Wrong("no-whole", f"{number:g} is not a whole number.", mend)
        return int(number)
    return number


def _instant(text: str, zone: tzinfo) -> datetime:
    mend = "choose a day and a time, as the clock on the ward shows it"
    try:
        local = datetime.fromisoformat(text)
    except ValueError:
        raise _Wrong("no-time", f"“{text}” is no date and time.", mend) from None
    aware = local if local.tzinfo else local.replace(tzinfo=zone)
    at = aware.astimezone(UTC)
    if at.astimezone(aware.tzinfo).replace(tzinfo=None) != aware.replace(tzinfo=None):
        raise _Wrong(
            "skipped-hour",
            "The clocks were put forward over this time; it never was.",
            mend,
        )
    return at
