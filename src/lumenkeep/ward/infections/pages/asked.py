"""The facts that would decide, in words, with the form that charts each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse

from lumenkeep.ward.chart.pages.kind_form import title_of
from lumenkeep.ward.infections.missing_facts import ORGANISM, RESULT

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.infections.infection import Infection
    from lumenkeep.ward.infections.missing_facts import Ask
    from lumenkeep.ward.infections.pages.words import Plain

BIRTH, MOVE = "birth", "stay"


@dataclass(frozen=True, slots=True)
class AskRow:
    """A fact that would decide: what it is, what each answer makes of it, where to go."""

    rule: str
    text: str
    ways: tuple[str, ...]
    href: str
    action: str


def ask_rows(
    infection: Infection, entries: Iterable[Entry], plain: Plain
) -> tuple[AskRow, ...]:
    """Return the facts that an infection asks for."""
    lines = [str(entry.line) for entry in entries if entry.line is not None]
    return tuple(_row(ask, lines, plain) for ask in infection.asks)


def _row(ask: Ask, lines: Sequence[str], plain: Plain) -> AskRow:
    line = ask.about if ask.about in lines else next(iter(lines), None)
    href, action = ("", "") if line is None else where_charted(ask, line)
    ways = tuple(plain(way) for way in ask.ways)
    return AskRow(ask.rule, plain(ask.text), ways, href, action)


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
