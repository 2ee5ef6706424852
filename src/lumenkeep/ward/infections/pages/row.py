"""An infection as one row of a list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse

from lumenkeep.ward.infections.infection import ASKS, CONFIRMED, OVERRIDDEN
from lumenkeep.ward.infections.missing_facts import ACCESS, TIP
from lumenkeep.ward.infections.pages.asked import where_charted
from lumenkeep.ward.infections.pages.words import (
    STATUS_WORDS,
    Plain,
    day_words,
    kind_words,
    sentence_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lumenkeep.ward.infections.infection import Infection
    from lumenkeep.ward.infections.missing_facts import Ask


@dataclass(frozen=True, slots=True)
class ToFindOut:
    """A fact that would decide, and where it is charted."""

    text: str
    href: str
    action: str


@dataclass(frozen=True, slots=True)
class InfectionRow:
    """One infection: its day, whose it is, what is so, and who has to act."""

    day: str
    name: str
    sentence: str
    kind: str
    status: str
    note: str
    href: str
    to_find_out: tuple[ToFindOut, ...] = ()


@dataclass(frozen=True, slots=True)
class InfectionGroup:
    """Infections that wait for the same."""

    key: str
    title: str
    rows: tuple[InfectionRow, ...]


GROUPS = (
    (ASKS, "A fact is missing"),
    ("to-decide", "To be decided"),
    ("decided", "Decided"),
)


def grouped(
    infections: Iterable[Infection],
    ward_names: Mapping[str, str],
    child_names: Mapping[str, str],
) -> tuple[InfectionGroup, ...]:
    """Return the infections by what they wait for, the latest first."""
    rows: dict[str, list[InfectionRow]] = {key: [] for key, _ in GROUPS}
    for one in sorted(infections, key=lambda i: (i.on, i.event), reverse=True):
        row = infection_row(one, ward_names, child_names.get(one.child, ""))
        rows[_group(one)].append(row)
    return tuple(
        InfectionGroup(key, title, tuple(rows[key]))
        for key, title in GROUPS
        if rows[key]
    )


def _group(infection: Infection) -> str:
    if infection.status in (CONFIRMED, OVERRIDDEN):
        return "decided"
    return ASKS if infection.asks else "to-decide"


def infection_row(
    infection: Infection, ward_names: Mapping[str, str], name: str
) -> InfectionRow:
    """Return one infection as a row."""
    note = ""
    href = reverse("infection", args=[infection.event])
    asks = infection.asks if infection.decision is None else ()
    if infection.is_old_decision:
        note = "It was decided once; the chart says more since."
    return InfectionRow(
        day_words(infection.on),
        name,
        sentence_of(infection, ward_names),
        kind_words(infection),
        STATUS_WORDS[infection.status],
        note,
        href,
        tuple(_to_find_out(ask, ward_names, href) for ask in asks),
    )


def _to_find_out(ask: Ask, ward_names: Mapping[str, str], href: str) -> ToFindOut:
    """Return what is to be found out; the infection's own page knows every form."""
    if ask.charts_as not in (TIP, ACCESS):
        return ToFindOut(
            Plain(ward_names)(ask.text), f"{href}#asks", "Where to chart it"
        )
    text = Plain({**ward_names, ask.about: "its line"})(ask.text)
    return ToFindOut(text, *where_charted(ask, ask.about))
