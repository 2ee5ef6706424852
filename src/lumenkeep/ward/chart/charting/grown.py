"""What grew, held against the lists: a name that none knows is asked back at once.

Nothing is corrected without a person's yes: the names near it are offered, and the one
the laboratory wrote may stay. It is then asked about where it would decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.organism_names import UNKNOWN
from lumenkeep.core.outcomes.protocol_year import edition_for, protocol_year

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.chart.charting.typed_entry import TypedEntry
    from lumenkeep.ward.site.typed_values import Typed

MEANT, AS_WRITTEN = "meant", "as-written"
STAYS = "It stands so on the report"


@dataclass(frozen=True, slots=True)
class NotUnderstood:
    """A name that no list understands, and the names in use that are near it."""

    field: str
    name: str
    near: tuple[str, ...]

    @property
    def choices(self) -> dict[str, str]:
        """What may be meant: a name near it, or the name as it was written."""
        return {**{name: name for name in self.near}, AS_WRITTEN: STAYS}

    @property
    def asks(self) -> str:
        """The question in words."""
        return f"No list here knows “{self.name}”. Which is it?"


def names_of(text: str | None) -> list[str]:
    """Return one name for each line; a name may hold a comma."""
    lines = (line.strip() for line in (text or "").replace(";", "\n").splitlines())
    return [line for line in lines if line]


def not_understood(names: Sequence[str], year: int) -> tuple[NotUnderstood, ...]:
    """Return the names that the lists of a year do not understand."""
    known = protocol_year(edition_for(year)).names
    strange = [n for n in dict.fromkeys(names) if known.taxon(n).rank == UNKNOWN]
    return tuple(
        NotUnderstood(f"{MEANT}-{number}", name, known.near(name))
        for number, name in enumerate(strange)
    )


def as_meant(form: Typed, names: Sequence[str], year: int) -> list[str]:
    """Return the names as a person says they are meant; a fault for each not said."""
    meant: Mapping[str, str] = {
        one.name: _meant(form, one) for one in not_understood(names, year)
    }
    return [meant.get(name, name) for name in names]


def _meant(form: Typed, one: NotUnderstood) -> str:
    answer = form.fields.get(one.field, "")
    if answer in one.choices:
        return one.name if answer == AS_WRITTEN else answer
    near = f" Did you mean {' or '.join(one.near)}?" if one.near else ""
    form.fault(
        "organism-unknown",
        f"No list here knows the organism “{one.name}”.{near}",
        one.field,
        "choose the name that is meant, or say that it stands so on the report",
    )
    return one.name


KNOWN_NAME = "known-name"


def check_grown(
    read: TypedEntry, form: Typed, bedside: FormContext, at: datetime
) -> None:
    """Put the names of what grew as they are meant; a fault for each not understood."""
    names = read.body.get("organisms")
    if names:
        year = at.astimezone(bedside.zone).year
        read.body["organisms"] = as_meant(form, names, year)


def check_organism(
    read: TypedEntry, form: Typed, bedside: FormContext, at: datetime
) -> None:
    """Note a fault where an organism is said to be another that no list knows."""
    if read.body.get("is") != KNOWN_NAME:
        read.body.pop("known_as", None)
        return
    known = protocol_year(edition_for(at.astimezone(bedside.zone).year)).names
    name = str(read.body.get("known_as") or "")
    if name and known.taxon(name).rank != UNKNOWN:
        return
    near = known.near(name)
    form.fault(
        "organism-unknown",
        "The name it is known by here is none that a list here knows.",
        "known-as",
        f"write another, as in {' or '.join(near)}" if near else "write another",
    )
