"""What grew, held against the lists: a name that none knows is asked back at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.organism_names import UNKNOWN
from lumenkeep.core.outcomes.protocol_year import edition_for, protocol_year
from lumenkeep.ward.chart.organism_names import as_meant

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.ward.chart.charting.bedside import Bedside
    from lumenkeep.ward.chart.charting.typed_entry import TypedEntry
    from lumenkeep.ward.site.typed_values import Typed

KNOWN_NAME = "known-name"


def check_grown(read: TypedEntry, form: Typed, bedside: Bedside, at: datetime) -> None:
    """Put the names of what grew as they are meant; a fault for each not understood."""
    names = read.body.get("organisms")
    if names:
        year = at.astimezone(bedside.zone).year
        read.body["organisms"] = as_meant(form, names, year)


def check_organism(
    read: TypedEntry, form: Typed, bedside: Bedside, at: datetime
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
