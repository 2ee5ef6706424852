"""The form of a number, and a place in a form where a number belongs.

Between the table's way of saying it and the fields: what was typed comes back as it
was, right or wrong, and the reader of the set judges it.
"""

from __future__ import annotations

import re
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
    from lumenkeep.ward.policies.parts import Table

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


DATED = ("from", "value", "source", "how")
EMPTY_ROWS = 1
PLACE = re.compile(r"values\[(\d{1,3})\]\.")


@dataclass(frozen=True, slots=True)
class DatedRow:
    """A value from one day on, as typed, and what is wrong with each field of it."""

    place: int
    start: str
    value: str
    source: str
    how: str
    is_new: bool
    start_fault: Fault | None = None
    value_fault: Fault | None = None
    source_fault: Fault | None = None

    def id_of(self, key: str) -> str:
        """Return the id of one of its fields."""
        return f"values[{self.place}].{key}"


@dataclass(frozen=True, slots=True)
class NumberForm:
    """A number as its page shows it; ``others`` are faults of no one field."""

    means: str
    unit: str
    unit_words: str
    rows: tuple[DatedRow, ...]
    means_fault: Fault | None = None

    @property
    def ids(self) -> dict[str, str]:
        """Ids of the fields, by path in the number that is read from them."""
        found = {"means": "means", "unit": self.rows[0].id_of("value")}
        for count, row in enumerate(self.rows):
            found |= {f"values[{count}].{key}": row.id_of(key) for key in DATED}
            found[f"values[{count}]"] = row.id_of("value")
            if not row.is_new or not count:
                found[""] = row.id_of("value")
        return found


def typed_from(table: Table) -> dict[str, list[str]]:
    """Return the fields of a number as it stands."""
    typed = {"means": [str(table.get("means", ""))], "unit": [str(table.get("unit"))]}
    for place, dated in enumerate(table.get("values", ())):
        for key in DATED:
            typed[f"values[{place}].{key}"] = [str(dated.get(key, ""))]
    return typed


def table_from(typed: Typed) -> dict[str, Any]:
    """Return the number that the fields say; rows left empty are left out."""
    unit = first(typed, "unit")
    values = []
    for place in _places(typed):
        texts = {key: first(typed, f"values[{place}].{key}").strip() for key in DATED}
        if not texts["value"] and not texts["from"]:
            continue
        dated = {"from": plain_day(texts["from"])}
        dated["value"] = plain_value(texts["value"], unit)
        dated |= {key: texts[key] for key in ("source", "how")}
        values.append({key: value for key, value in dated.items() if value != ""})
    found = {"means": first(typed, "means").strip(), "unit": unit, "values": values}
    return {key: value for key, value in found.items() if value != ""}


def _places(typed: Typed) -> list[int]:
    found = [PLACE.match(name) for name in typed]
    return sorted({int(match[1]) for match in found if match})


def number_form(typed: Typed, faults: Mapping[str, Fault]) -> NumberForm:
    """Return the form with what was typed, and each fault beside its field.

    Parameters
    ----------
    faults
        By path in the number, as in ``values[0].value``; one of the number as a whole
        stands beside its last value.
    """
    filled = [
        place
        for place in _places(typed)
        if first(typed, f"values[{place}].value")
        or first(typed, f"values[{place}].from")
    ]
    after = max(_places(typed), default=-1) + 1
    blank = [p for p in _places(typed) if p not in filled] or [after]
    rows = []
    for count, place in enumerate([*filled, *blank[:EMPTY_ROWS]]):
        path = f"values[{count}]"
        texts = {key: first(typed, f"values[{place}].{key}") for key in DATED}
        is_last = count == len(filled) - 1
        whole = faults.get("") or faults.get("values") if is_last else None
        rows.append(
            DatedRow(
                place,
                texts["from"],
                texts["value"],
                texts["source"],
                texts["how"],
                count >= len(filled),
                faults.get(f"{path}.from"),
                faults.get(f"{path}.value") or whole,
                faults.get(f"{path}.source"),
            )
        )
    unit = first(typed, "unit")
    return NumberForm(
        first(typed, "means"),
        unit,
        UNITS.get(unit, unit),
        tuple(rows),
        faults.get("means"),
    )
