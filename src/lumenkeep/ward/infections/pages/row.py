"""An infection as one row of a list, and the facts that would decide it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse

from lumenkeep.ward.chart.pages.kind_form import title_of
from lumenkeep.ward.infections.infection import (
    ACCESS,
    ASKS,
    CONFIRMED,
    ORGANISM,
    OVERRIDDEN,
    RESULT,
    TIP,
)
from lumenkeep.ward.infections.pages.words import (
    STATUS_WORDS,
    Plain,
    day_words,
    kind_words,
    sentence_of,
)
from lumenkeep.ward.site.pages.shapes import Group

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.infections.infection import Ask, Infection

BIRTH, MOVE = "birth", "stay"


def ask_rows(
    infection: Infection, entries: Iterable[Entry], plain: Plain
) -> tuple[ToFindOut, ...]:
    """Return the facts that an infection asks for."""
    lines = [str(entry.line) for entry in entries if entry.line is not None]
    return tuple(_row(ask, lines, plain) for ask in infection.asks)


def _row(ask: Ask, lines: Sequence[str], plain: Plain) -> ToFindOut:
    line = ask.about if ask.about in lines else next(iter(lines), None)
    href, action = ("", "") if line is None else where_charted(ask, line)
    ways = tuple(plain(way) for way in ask.ways)
    return ToFindOut(plain(ask.text), href, action, ways)


def where_charted(ask: Ask, line: str) -> tuple[str, str]:
    """Return where the answer is charted on a line, and what that is called."""
    if ask.charts_as == BIRTH:
        return reverse("chart-fact", args=[line, BIRTH]), title_of(BIRTH)
    if ask.charts_as == MOVE:
        return reverse("move-child", args=[line]), title_of(MOVE)
    if not ask.charts_as:
        return reverse("line-infections", args=[line]), "Chart or correct it"
    href = reverse("chart-infection", args=[line, ask.charts_as])
    named = {RESULT: "specimen", ORGANISM: "name"}.get(ask.charts_as)
    if named is not None:
        href += f"?{urlencode({named: ask.about})}"
    return href, title_of(ask.charts_as)


@dataclass(frozen=True, slots=True)
class ToFindOut:
    """A fact that would decide: where it is charted, and what each answer makes of it."""

    text: str
    href: str
    action: str
    ways: tuple[str, ...] = ()


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


GROUPS = (
    (ASKS, "A fact is missing"),
    ("to-decide", "To be decided"),
    ("decided", "Decided"),
)


def grouped(
    infections: Iterable[Infection],
    ward_names: Mapping[str, str],
    child_names: Mapping[str, str],
) -> tuple[Group[InfectionRow], ...]:
    """Return the infections by what they wait for, the latest first."""
    rows: dict[str, list[InfectionRow]] = {key: [] for key, _ in GROUPS}
    for one in sorted(infections, key=lambda i: (i.on, i.event), reverse=True):
        row = infection_row(one, ward_names, child_names.get(one.child, ""))
        rows[_group(one)].append(row)
    return tuple(Group(title, rows[key], key) for key, title in GROUPS if rows[key])


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
