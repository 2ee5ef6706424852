"""A place in a form where a number belongs: one of the set's, or one of its own.

Between the table's way of saying it and the fields: what was typed comes back as it
was, right or wrong, and the reader of the set judges it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.numbers import (
    CALENDAR_UNITS,
    ELAPSED_SECONDS_PER,
    MM_PER,
    family_of,
    value_in_words,
)
from lumenkeep.errors import Fault
from lumenkeep.ward.policies.pages.words import UNITS

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy

OWN = "*own"
FAMILY_UNITS = {
    "time": ("h", *CALENDAR_UNITS, "min", "s"),
    "elapsed": tuple(ELAPSED_SECONDS_PER),
    "length": tuple(MM_PER),
    "gestation": ("weeks+days",),
}
Typed = Mapping[str, list[str]]


@dataclass(frozen=True, slots=True)
class Slot:
    """A number's place as the form shows it.

    Attributes
    ----------
    name
        Of its fields: ``name`` itself says which number, ``name.value`` and so on
        what its own one is.
    choices
        Ids of the set's numbers that suit, with their words.
    """

    name: str
    label: str
    chosen: str
    value: str
    unit: str
    start: str
    source: str
    choices: tuple[tuple[str, str], ...]
    units: tuple[tuple[str, str], ...]
    may_be_empty: bool
    faults: tuple[Fault, ...] = ()


def first(typed: Typed, name: str) -> str:
    """Return the first text sent under a name."""
    return next(iter(typed.get(name, ())), "")


def typed_number(raw: Any, name: str, today: date) -> dict[str, list[str]]:
    """Return the fields of a number as a table says it (id, own table, or nothing)."""
    if raw is None:
        return {name: [""], f"{name}.from": [today.isoformat()]}
    if not isinstance(raw, Mapping):
        return {name: [str(raw)], f"{name}.from": [today.isoformat()]}
    keys = ("value", "unit", "from", "source", "how", "means")
    own = {f"{name}.{key}": [str(raw[key])] for key in keys if key in raw}
    return {name: [OWN], **own}


def number_from(typed: Typed, name: str) -> Any:
    """Return what the fields say, as a table holds it; None for nothing."""
    chosen = first(typed, name)
    if chosen != OWN:
        return chosen or None
    unit = first(typed, f"{name}.unit")
    found: dict[str, Any] = {"value": plain_value(first(typed, f"{name}.value"), unit)}
    found["unit"] = unit
    found["from"] = plain_day(first(typed, f"{name}.from"))
    found["source"] = first(typed, f"{name}.source").strip()
    for key in ("how", "means"):
        if first(typed, f"{name}.{key}"):
            found[key] = first(typed, f"{name}.{key}")
    return {key: value for key, value in found.items() if value != ""}


def plain_value(text: str, unit: str) -> Any:
    """Return a typed value as a number, or as it stands where it is none."""
    text = text.strip()
    if unit == "weeks+days":
        return text
    try:
        return int(text)
    except ValueError:
        pass
    try:
        found = float(text.replace(",", "."))
    except ValueError:
        return text
    return found if abs(found) != float("inf") and found == found else text


def plain_day(text: str) -> Any:
    """Return a typed day as a date, or as it stands where it is none."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        return text.strip()


def slot(
    typed: Typed,
    name: str,
    label: str,
    family: str,
    policy: Policy,
    faults: Mapping[str, Fault],
    *,
    may_be_empty: bool,
) -> Slot:
    """Return the slot with the numbers of the set that suit it."""
    units = FAMILY_UNITS.get(family, (family,))
    choices = tuple(
        (
            number.id,
            f"{value_in_words(number.values[-1].value, number.unit)}: {number.means}",
        )
        for number in policy.numbers.values()
        if "." not in number.id and family_of(number.unit) == family_of(units[0])
    )
    return Slot(
        name=name,
        label=label,
        chosen=first(typed, name),
        value=first(typed, f"{name}.value"),
        unit=first(typed, f"{name}.unit"),
        start=first(typed, f"{name}.from"),
        source=first(typed, f"{name}.source"),
        choices=choices,
        units=tuple((unit, UNITS[unit]) for unit in units),
        may_be_empty=may_be_empty,
        faults=tuple(
            fault
            for path, fault in faults.items()
            if path == name or path.startswith(f"{name}.")
        ),
    )
