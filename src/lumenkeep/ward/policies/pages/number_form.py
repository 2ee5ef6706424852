"""The form of a number: what it means, and its value from which day, by which source."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.errors import Fault
from lumenkeep.ward.policies.pages.slots import Typed, first, plain_day, plain_value
from lumenkeep.ward.policies.pages.words import UNITS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.ward.policies.parts import Table

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
